"""Questions a grower asks, answered as codes and numbers."""

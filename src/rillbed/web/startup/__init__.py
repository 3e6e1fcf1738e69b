"""Growing the bacteria."""

"""What plants eat, element by element: what came and went, what runs short next, what to add, what leaves say."""

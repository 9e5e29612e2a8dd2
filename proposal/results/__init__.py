"""What came out: evaluate(spec, option) → frozen, versioned results; their JSON, its schema, and comparison."""

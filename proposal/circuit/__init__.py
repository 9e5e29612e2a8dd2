"""What will be built: nodes, conductors, devices and the things at their ends; arrangements turn an option into it."""

"""Rain on a surface becomes water at the tank."""

"""Up and down a road: engine, gears, heat."""

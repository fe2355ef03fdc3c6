"""Space and time: the court, how bodies and the ball move, how often shots go in."""

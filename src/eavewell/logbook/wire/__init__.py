"""What comes from sensors over a broker, and what is told by e-mail or message."""

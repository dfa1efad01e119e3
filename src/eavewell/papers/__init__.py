"""What is printed and carried to the site."""

"""What the authority of the place asks for, and how far it is done; never an approval."""

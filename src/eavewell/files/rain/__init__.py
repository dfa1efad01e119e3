"""Rain records, short steps and tables of storms, read from any layout; stations found."""

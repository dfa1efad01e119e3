"""The field sheet: one file to take along, and the page on which what was found comes back."""

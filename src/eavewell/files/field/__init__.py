"""The visit to a site: what is asked there, levels as they are booked, and the way back."""

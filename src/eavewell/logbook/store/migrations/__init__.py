"""How a log's layout came to be: one file a step, never changed once it is out."""

"""An answer on paper of seventy to a hundred columns: the report in the terminal."""

"""The pages: a system designed in the browser, from sky to tap; the site files stay the truth."""

"""Every check on a finished design, one file per reach of the water."""

"""Files of readings brought in: any order of dates, any unit, one gauge or many."""

"""Rain and air: the record, its gaps, its dry spells, synthetic years, evaporation, snow."""

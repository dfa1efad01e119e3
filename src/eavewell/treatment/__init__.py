"""What stands between roof and mouth: disinfection by the published tables, never an approval."""

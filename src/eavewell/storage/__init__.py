"""The balance of stores: one engine, its reliability, its sizing and its range."""

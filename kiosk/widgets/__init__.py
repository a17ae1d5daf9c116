"""What screens are built from."""

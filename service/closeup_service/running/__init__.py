"""What an operator sees: settings, kit file, log, metrics."""

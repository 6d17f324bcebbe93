"""The command line: plan one order file."""

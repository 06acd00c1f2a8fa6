"""The command line: parse, call, report."""

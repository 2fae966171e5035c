"""The commands of `dunnage`, one module each: SUMMARY, EXAMPLE, arguments(parser) and run(args)."""

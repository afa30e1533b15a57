"""Job and sheets into a `Case`: everything said once filled in, every value with its origin."""

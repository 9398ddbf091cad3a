"""Papers: terminal summary, engineer's submittal, owner's summary, and the package that holds them."""

"""Wind, snow, live, rain and dead loads on a roof, by edition; pure calculation on numbers and arrays."""

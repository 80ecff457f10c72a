"""The JSON routes, all below /v1, and the ones that machines look at."""

"""Lists on paper: to take stock by, and to trace steel by."""

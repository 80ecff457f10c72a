"""The running service: what it is started with, who may come in, what it keeps and what it refuses."""

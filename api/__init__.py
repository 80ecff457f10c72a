"""The service: a JSON API, and a page for people."""

"""The service: JSON routes, the page, jobs in the background, the store."""

"""The search: buying proposes, cutting lays out or says why it can't."""

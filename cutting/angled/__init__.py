"""Angled ends: geometry, poses, gaps between neighbours, pricing of rows and their order on a stick."""

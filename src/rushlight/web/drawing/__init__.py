"""Drawings made on the server as SVG; colours and line weights live in the style sheet."""

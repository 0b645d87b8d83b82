"""Migrations of the workshop, run by the program itself (`rushlight.store.upgrade`)."""

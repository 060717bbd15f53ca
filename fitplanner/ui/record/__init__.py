"""The record of a shop: predicted against delivered over closed jobs, and what they teach."""

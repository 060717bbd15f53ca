"""The parts of the page of options: the search, the cards, the limits and the plot."""

"""The tape measure in the window: guided reading, the readings taken, fit and proof."""

"""From a chart's text to the song it means."""

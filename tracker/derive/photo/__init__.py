"""From points marked on a photograph to angles and lengths, each with its error."""

"""Plans said and drawn: sentences, the printed plan, pictures. No arithmetic: that is the plan's."""

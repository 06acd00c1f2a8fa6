"""The look, the layout, engraving to pixels, painting one instant."""

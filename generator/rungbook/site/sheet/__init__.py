"""The patient's sheet: its model, its document, its words in each language."""

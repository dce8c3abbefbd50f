"""How a site comes to stand: made by several processes, swapped in whole, previewed, in MkDocs."""

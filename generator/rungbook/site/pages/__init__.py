"""Page models, one a page: frozen values made from the analysis, for a template that loops."""

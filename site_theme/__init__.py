"""The MkDocs theme `rungbook`: templates, styles, scripts. No knowledge of any clinic."""

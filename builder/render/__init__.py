"""Everything a person sees: pages, sheets, the bench look-up and the shell around them."""

"""The worked examples of the rules, for whoever explains a rule with a picture."""

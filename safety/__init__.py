"""The safety screen: rules over facts, findings, risks, clearances; reads patients."""

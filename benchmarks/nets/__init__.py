"""The benchmark nets, made by rule: from 12 bubbles to 20,000, for the harbour festival."""

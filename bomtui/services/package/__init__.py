"""The quotation package: every artefact of a variant, gathered, written and checked before anything is written."""

"""The artefacts of a quotation package as plain records, and the tables that they are printed as."""

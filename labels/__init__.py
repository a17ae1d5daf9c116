"""Part codes, symbols, label stocks and pages; knows nothing of jobs or parts."""

"""The pages, one module for each thing a person looks at."""

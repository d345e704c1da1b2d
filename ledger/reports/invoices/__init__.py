"""Invoices as files: XML that accounting programs read, their official rules, and pages."""

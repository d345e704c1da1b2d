"""Refusals of invoices in words: what is wrong with one, and with the file made of it."""

WORDINGS = {
    "invoice_faulty": "{document} {number}: cannot be issued\n{faults}",
    "invoice_unfit": "invoice {number}: its file would not be accepted\n{faults}",
    "invoice_rule": "{rule}: {said}",
    "invoice_rules_missing": (
        "an electronic invoice is checked by the official rules, which are not installed; "
        'install "fairhours[{extra}]" with pip, or issue a plain PDF'
    ),
    "invoice_rules_unusable": (
        "the official rules of electronic invoices cannot be run: {what}: {said}; install "
        '"fairhours[{extra}]" with pip again'
    ),
    # What is to be invoiced.
    "invoice_claim_unknown": "job {job}: there is no claim {claim}; issued so far: {claims}",
    "invoice_uncertified": "job {job}: claim {claim} is not certified; {remedy}",
    "invoice_claim_superseded": (
        "job {job}: claim {claim} was superseded; invoice claim {last}, which covers all to date"
    ),
    "invoice_claim_behind": (
        "job {job}: claim {last} is invoiced already; invoice that one again: it includes all that "
        "is certified and not yet invoiced, claim {claim} too"
    ),
    "invoice_empty": (
        "job {job}: nothing is left to invoice of claim {claim}; {remedy} shows what may be claimed"
    ),
    "invoice_claim_below_zero": (
        "job {job}: the invoice of claim {claim} comes to {net} {currency}; carry it forward to "
        "the next claim, or credit {documents:and} and bill the claim again: {remedy}"
    ),
    "invoice_first_below_zero": (
        "job {job}: the invoice of claim {claim} comes to {net} {currency}, and no invoice of a "
        "claim is left to credit; carry it forward to the next claim"
    ),
    "invoice_all_below_zero": (
        "job {job}: the invoice of claim {claim} comes to {net} {currency}, more than crediting "
        "every invoice would make up for; carry it forward to the next claim"
    ),
    "invoice_advance_left": (
        "job {job}: claim {claim} bills the whole, and {left} of the advance invoiced is not "
        "deducted with its tax; raise recovery_percent of [advance] ({remedy}), then issue the "
        "next claim"
    ),
    "invoice_advance_missing": (
        "job {job}: claim {claim} deducts {missing} more of the advance than is invoiced and not "
        "credited; invoice the advance first (--advance)"
    ),
    "invoice_other_currency": (
        "job {job}: to be invoiced in {currency}, but {document} is in {other}; an account has one "
        "currency: correct it in [invoice] of job.toml, or credit what was invoiced: {remedy}"
    ),
    "invoice_no_advance": (
        "job {job}: no advance is left to invoice; agreed {agreed}, invoiced {invoiced}"
    ),
    "invoice_to_come": "dated {on}, after today, {today}",
    "invoice_before_last": (
        "dated {on}, before the last of its series, {last}; numbers and dates go forward together"
    ),
    "invoice_before_work": "dated {on}, before {to}, the last day of the work that it bills",
    "tax_rate_unknown": (
        "no rate of tax category {category} on {day}; add it to [tax_categories.{category}] of "
        "settings.toml and {remedy}, or give --tax-rate"
    ),
    "credit_of_no_invoice": "{document} is not an invoice",
    "credited_already": "{document} was credited by {credit}",
    "credit_before_invoice": "dated {on}, before the invoice that it credits, {issued}",
    "invoice_of_one": "give {options:or}, not both; --final goes with a claim",
    "invoice_kind_missing": "--out {file}: say what it is by --as, one of {kinds}",
    "invoice_of_other_ending": "--out: as {kind} it is a file ending in {ending}",
    "draft_is_a_page": (
        "a draft is a page: give --out, a file ending in {endings:or}; the standard of invoices as "
        "data (EN 16931) has no mark for a draft, so the file could be booked as an invoice"
    ),
    # The head.
    "invoice_number_missing": "the number is missing",
    "invoice_due_before_issue": "due on {due}, before its date of issue {issued}",
    "invoice_due_date_missing": "{due} {currency} to pay and no due date; give the days to pay",
    "invoice_undated": "{due} to pay and no due date",
    "invoice_below_zero": (
        "the {document} comes to {due} {currency}; below zero it is carried forward, or is another "
        "kind of document"
    ),
    "invoice_period_reversed": "the period of delivery starts on {starts} and ends on {ends}",
    "credit_names_no_invoice": "a credit note names the invoices it credits, with their dates",
    "credit_with_due_date": "a credit note asks for no payment; remove the due date {due}",
    "credited_number_missing": "an invoice that is referred to has no number",
    "invoice_text_unprintable": "{field}: {text} has a character that no file can hold",
    # Currencies.
    "invoice_currency_unknown": 'unknown currency "{currency}"; use a code of ISO 4217',
    "invoice_currency_places": (
        "{currency} has {places} decimals; an electronic invoice (EN 16931) rounds each amount to "
        "2, so its sums would not be those that are paid; invoice in a currency of 2"
    ),
    "invoice_rate_missing": (
        "in {currency}, while the yard's currency is {own}: the tax is stated in both; give the "
        "exchange rate that your tax office accepts, above 0"
    ),
    # Seller and buyer.
    "invoice_party_incomplete": "{party}: missing {missing}",
    "invoice_country_unreadable": (
        '{party}: "{country}" is not a country code; use two capitals of ISO 3166, such as NL'
    ),
    "invoice_address_incomplete": "{party}: an electronic address has a scheme and an identifier",
    "invoice_seller_unidentified": "seller: give a tax number or a registration number",
    "invoice_tax_number_wrong": (
        '{party}: "{number}" is not a valid tax number; write it with its country code before it, '
        "as on the tax office's letter"
    ),
    "invoice_tax_number_missing": "{party}: tax category {category} needs a tax number",
    "invoice_tax_number_unwanted": (
        "{party}: with tax category O no tax number may stand on the invoice, found {number}"
    ),
    "invoice_account_wrong": '"{account}" is not a valid IBAN; copy it from the bank\'s letter',
    "invoice_bank_wrong": '"{bank}" is not a valid BIC; copy it from the bank\'s letter',
    # Lines and tax.
    "invoice_without_lines": "there is nothing to invoice",
    "invoice_description_missing": "line {line}: the description is missing",
    "invoice_unit_unknown": 'line {line}: unknown unit "{unit}"; use one of {units}',
    "invoice_price_negative": (
        "line {line}: the price {price} is below zero; an omission has a negative quantity"
    ),
    "invoice_category_unknown": (
        'line {line}: unknown tax category "{category}"; use one of {categories}'
    ),
    "invoice_tax_rate_missing": (
        "line {line}: tax category {category} needs a rate above 0 and up to 100, found {rate}"
    ),
    "invoice_tax_rate_unwanted": (
        "line {line}: tax category {category} carries no tax, found a rate of {rate}"
    ),
    "invoice_not_subject_and_others": (
        "tax category O cannot stand beside {others:and}; issue two invoices"
    ),
    "invoice_reason_missing": (
        "tax category {category} needs the reason why no tax is due: in words, or a VATEX code"
    ),
    "invoice_reason_unwanted": "tax category {category} takes no reason; remove it",
    "invoice_reason_unused": "a reason for tax category {category}, which no line has",
    "invoice_reason_twice": "tax category {category} has two reasons; issue two invoices",
    "invoice_delivery_undated": "tax category {category} needs the date or period of delivery",
    "invoice_delivery_placeless": "tax category {category} needs the country of delivery",
    # Figures of the finished file.
    "invoice_line_misreckoned": (
        "line {line}: the amount is {stated}, quantity x price is {right}"
    ),
    "invoice_base_misreckoned": (
        "tax category {category} at {rate} %: the base is {stated}, its lines add up to {right}"
    ),
    "invoice_tax_misreckoned": (
        "tax category {category} at {rate} %: the tax is {stated}, on its base it is {right}"
    ),
}

"""Codes of the currencies that are in use."""

from difflib import get_close_matches

# ISO 4217, the codes that are tender somewhere on 2026-01-01 (Unicode Common Locale Data
# Repository, supplemental data on currencies).
_CODES = """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN
BZD CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL
GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF
KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN
MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD
SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX
USD UYU UZS VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
"""
CURRENCIES = frozenset(_CODES.split())


def nearest_currency(code: str) -> str:
    """A hint with the nearest codes."""
    near = get_close_matches(code, sorted(CURRENCIES), n=3, cutoff=0.6)
    return f"did you mean {' or '.join(near)}?" if near else "write one such as EUR or CAD"

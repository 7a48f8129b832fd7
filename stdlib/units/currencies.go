package units

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"castwright/lang/catalogue"
	"castwright/lang/kind"
)

const iso4217 = "ISO 4217:2015, list one"

// currencyTable holds a line for each currency: its code, the digits of its minor unit, its English name, and the
// plural where that is not the name with an s. It is list one of ISO 4217 as published on 2024-06-25, with the
// amendments since, from memory: the Caribbean guilder (XCG) for the Netherlands Antillean guilder (ANG) in 2025, the
// Cuban convertible peso (CUC) gone, the Bulgarian lev (BGN) gone with 2026. Left out are the codes without a minor
// unit of any sort: metals, units of account among banks, and those for tests. Codes of funds are kept.
const currencyTable = `
AED 2 UAE dirham
AFN 2 Afghan afghani
ALL 2 Albanian lek
AMD 2 Armenian dram
AOA 2 Angolan kwanza
ARS 2 Argentine peso
AUD 2 Australian dollar
AWG 2 Aruban florin
AZN 2 Azerbaijan manat
BAM 2 convertible mark
BBD 2 Barbados dollar
BDT 2 Bangladeshi taka
BHD 3 Bahraini dinar
BIF 0 Burundi franc
BMD 2 Bermudian dollar
BND 2 Brunei dollar
BOB 2 boliviano
BOV 2 Bolivian mvdol
BRL 2 Brazilian real, Brazilian reais
BSD 2 Bahamian dollar
BTN 2 Bhutanese ngultrum
BWP 2 Botswana pula, Botswana pula
BYN 2 Belarusian rouble
BZD 2 Belize dollar
CAD 2 Canadian dollar
CDF 2 Congolese franc
CHE 2 WIR euro
CHF 2 Swiss franc
CHW 2 WIR franc
CLF 4 Chilean unidad de fomento, Chilean unidades de fomento
CLP 0 Chilean peso
CNY 2 Chinese yuan, Chinese yuan
COP 2 Colombian peso
COU 2 Colombian unidad de valor real, Colombian unidades de valor real
CRC 2 Costa Rican colón, Costa Rican colones
CUP 2 Cuban peso
CVE 2 Cabo Verde escudo
CZK 2 Czech koruna, Czech koruny
DJF 0 Djibouti franc
DKK 2 Danish krone, Danish kroner
DOP 2 Dominican peso
DZD 2 Algerian dinar
EGP 2 Egyptian pound
ERN 2 Eritrean nakfa
ETB 2 Ethiopian birr
EUR 2 euro
FJD 2 Fiji dollar
FKP 2 Falkland Islands pound
GBP 2 pound sterling, pounds sterling
GEL 2 Georgian lari
GHS 2 Ghana cedi
GIP 2 Gibraltar pound
GMD 2 Gambian dalasi
GNF 0 Guinean franc
GTQ 2 Guatemalan quetzal, Guatemalan quetzales
GYD 2 Guyana dollar
HKD 2 Hong Kong dollar
HNL 2 Honduran lempira
HTG 2 Haitian gourde
HUF 2 Hungarian forint
IDR 2 Indonesian rupiah
ILS 2 new Israeli sheqel
INR 2 Indian rupee
IQD 3 Iraqi dinar
IRR 2 Iranian rial
ISK 0 Icelandic króna, Icelandic krónur
JMD 2 Jamaican dollar
JOD 3 Jordanian dinar
JPY 0 Japanese yen, Japanese yen
KES 2 Kenyan shilling
KGS 2 Kyrgyz som
KHR 2 Cambodian riel
KMF 0 Comorian franc
KPW 2 North Korean won, North Korean won
KRW 0 South Korean won, South Korean won
KWD 3 Kuwaiti dinar
KYD 2 Cayman Islands dollar
KZT 2 Kazakh tenge
LAK 2 Lao kip
LBP 2 Lebanese pound
LKR 2 Sri Lanka rupee
LRD 2 Liberian dollar
LSL 2 Lesotho loti, Lesotho maloti
LYD 3 Libyan dinar
MAD 2 Moroccan dirham
MDL 2 Moldovan leu, Moldovan lei
MGA 2 Malagasy ariary
MKD 2 Macedonian denar
MMK 2 Myanmar kyat
MNT 2 Mongolian tugrik
MOP 2 Macao pataca
MRU 2 Mauritanian ouguiya
MUR 2 Mauritius rupee
MVR 2 Maldivian rufiyaa
MWK 2 Malawi kwacha
MXN 2 Mexican peso
MXV 2 Mexican unidad de inversión, Mexican unidades de inversión
MYR 2 Malaysian ringgit
MZN 2 Mozambican metical, Mozambican meticais
NAD 2 Namibia dollar
NGN 2 Nigerian naira
NIO 2 Nicaraguan córdoba
NOK 2 Norwegian krone, Norwegian kroner
NPR 2 Nepalese rupee
NZD 2 New Zealand dollar
OMR 3 Omani rial
PAB 2 Panamanian balboa
PEN 2 Peruvian sol, Peruvian soles
PGK 2 Papua New Guinean kina
PHP 2 Philippine peso
PKR 2 Pakistan rupee
PLN 2 Polish zloty, Polish zlotys
PYG 0 Paraguayan guaraní, Paraguayan guaraníes
QAR 2 Qatari rial
RON 2 Romanian leu, Romanian lei
RSD 2 Serbian dinar
RUB 2 Russian rouble
RWF 0 Rwanda franc
SAR 2 Saudi riyal
SBD 2 Solomon Islands dollar
SCR 2 Seychelles rupee
SDG 2 Sudanese pound
SEK 2 Swedish krona, Swedish kronor
SGD 2 Singapore dollar
SHP 2 Saint Helena pound
SLE 2 Sierra Leonean leone
SOS 2 Somali shilling
SRD 2 Surinam dollar
SSP 2 South Sudanese pound
STN 2 São Tomé dobra
SVC 2 El Salvador colón, El Salvador colones
SYP 2 Syrian pound
SZL 2 Swazi lilangeni, Swazi emalangeni
THB 2 Thai baht, Thai baht
TJS 2 Tajik somoni
TMT 2 Turkmenistan manat
TND 3 Tunisian dinar
TOP 2 Tongan pa’anga
TRY 2 Turkish lira
TTD 2 Trinidad and Tobago dollar
TWD 2 new Taiwan dollar
TZS 2 Tanzanian shilling
UAH 2 Ukrainian hryvnia
UGX 0 Uganda shilling
USD 2 US dollar
USN 2 US dollar (next day), US dollars (next day)
UYI 0 Uruguayan peso in indexed units, Uruguayan pesos in indexed units
UYU 2 Uruguayan peso
UYW 4 Uruguayan unidad previsional, Uruguayan unidades previsionales
UZS 2 Uzbekistan sum
VED 2 Venezuelan digital bolívar, Venezuelan digital bolívares
VES 2 Venezuelan bolívar, Venezuelan bolívares
VND 0 Vietnamese dong
VUV 0 Vanuatu vatu, Vanuatu vatu
WST 2 Samoan tala, Samoan tala
XAF 0 Central African CFA franc
XCD 2 East Caribbean dollar
XCG 2 Caribbean guilder
XOF 0 West African CFA franc
XPF 0 CFP franc
YER 2 Yemeni rial
ZAR 2 South African rand, South African rand
ZMW 2 Zambian kwacha
ZWG 2 Zimbabwe gold, Zimbabwe gold
`

// currencies reads the table. One unit of a currency is 1 of its own kind.
func currencies() ([]catalogue.Unit, error) {
	var out []catalogue.Unit
	for line := range strings.Lines(currencyTable) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		code, rest, _ := strings.Cut(line, " ")
		digits, name, _ := strings.Cut(rest, " ")
		minor, err := strconv.Atoi(digits)
		if err != nil || len(code) != 3 || name == "" {
			return nil, fmt.Errorf("a code, a digit and a name are wanted in %q", line)
		}
		name, plural, found := strings.Cut(name, ", ")
		if !found {
			plural = name + "s"
		}
		out = append(out, catalogue.Unit{
			Symbol: code, Name: name, Plural: plural, Dim: kind.Money(code), Ratio: big.NewRat(1, 1),
			System: catalogue.Currency, Source: iso4217, Minor: minor,
		})
	}
	return out, nil
}

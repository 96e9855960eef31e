/* header_words.c - see header_words.h. */
#include "cards/sheet/header_words.h"

#include <string.h>

#include "base/memory.h"
#include "base/text.h"

#define WORDS_MOST 50
#define HEADER_MOST 1000 /* bytes: in what is longer, a text, no words are looked for */

typedef struct {
    const char *name;
    const char *word[WORDS_MOST]; /* folded, blanks between */
} FieldWords;

static const FieldWords field_words[HOLDS_FIELDS + 1] = {
    [HOLDS_NAME] = {"name",
                    {"name",
                     "card",
                     "card name",
                     "cardname",
                     "title",
                     "names",
                     "cards",
                     "what",
                     "item",
                     "entry",
                     "candidate",
                     "karte",
                     "kartenname",
                     "kartenbezeichnung",
                     "bezeichnung",
                     "titel",
                     "nom",
                     "carte",
                     "nom de la carte",
                     "titre",
                     "nombre",
                     "carta",
                     "nome",
                     "naam",
                     "kaart",
                     "namn",
                     "kort",
                     "nazwa",
                     "karta",
                     "nazev",
                     "jmeno",
                     "nev"}},
    [HOLDS_COLOURS] = {"colours", {"colours",  "colour", "colors", "color", "col",    "cols",    "clr",      "faction",
                                   "factions", "suit",   "house",  "farbe", "farben", "couleur", "couleurs", "colores",
                                   "colore",   "colori", "cor",    "cores", "kleur",  "kleuren", "farg",     "kolor",
                                   "kolory",   "barva",  "barvy",  "szin",  "szinek"}},
    [HOLDS_KIND] = {"kind", {"kind",      "kinds", "type",      "types", "category",  "sort", "art",
                             "typ",       "typen", "kategorie", "genre", "categorie", "tipo", "tipos",
                             "categoria", "soort", "rodzaj",    "druh",  "tipus",     "fajta"}},
    [HOLDS_COST] = {"cost",
                    {"cost", "costs", "play cost", "cost to play", "total cost", "energy", "kosten", "spielkosten",
                     "cout", "coste", "costo", "custo", "kostnad", "koszt"}},
    [HOLDS_POWER] = {"power",
                     {"power",      "score",     "rating",    "points",      "grade",      "strength",  "rank",
                      "mark",       "how good",  "my rating", "my score",    "our rating", "our score", "fun",
                      "quality",    "stars",     "verdict",   "opinion",     "evaluation", "wertung",   "bewertung",
                      "punkte",     "note",      "starke",    "score total", "tier",       "tiers",     "puntuacion",
                      "valoracion", "puntos",    "punteggio", "voto",        "pontos",     "nota",      "betyg",
                      "ocena",      "cijfer",    "hodnoceni", "znamka",      "pont",       "pontszam",  "ertekeles",
                      "force",      "puissance", "fuerza",    "forza",       "forca",      "kracht",    "styrka",
                      "sila"}},
    [HOLDS_PRICE] = {"price", {"price",  "prices",     "unit price", "price each", "market price", "value", "money",
                               "worth",  "eur",        "euro",       "euros",      "usd",          "gbp",   "preis",
                               "preise", "stuckpreis", "prix",       "precio",     "prezzo",       "preco", "prijs",
                               "pris",   "cena",       "to buy",     "buy price",  "asking",       "€",     "$",
                               "£",      "¥"}},
    [HOLDS_TAGS] = {"tags", {"tags",        "tag",          "theme",      "themes",        "labels",
                             "label",       "strategy",     "strategies", "groups",        "roles in decks",
                             "synergies",   "synergy",      "thema",      "themen",        "stichworte",
                             "schlagworte", "schlagworter", "etiquettes", "themes de jeu", "etiquetas",
                             "temas",       "temi",         "etichette",  "etykiety",      "ideas"}},
    [HOLDS_ENABLES] = {"enables",
                       {"enables", "enabler for", "enabler of", "enabler", "enablers", "starter for", "sets up",
                        "feeds", "ermoglicht", "starter fur", "quelle fur", "permet", "permite", "abilita"}},
    [HOLDS_PAYS_OFF] = {"pays_off",
                        {"pays off", "payoff for", "payoff of", "payoff", "payoffs", "pay off", "rewards", "reward for",
                         "belohnt", "lohn fur", "recompense", "recompensa", "premia"}},
    [HOLDS_TEXT] = {"text",
                    {"text", "card text", "rules", "effect", "effects", "ability", "abilities", "description",
                     "kartentext", "regeltext", "regeln", "effekt", "beschreibung", "texte", "texto", "testo",
                     "tekst"}},
    [HOLDS_COPIES] = {"copies", {"copies",     "how many",     "qty",        "quantity", "count",    "number",
                                 "amount",     "no of copies", "pcs",        "anzahl",   "menge",    "stuck",
                                 "exemplaire", "exemplaires",  "quantite",   "combien",  "cantidad", "copias",
                                 "quantita",   "copie",        "quantidade", "aantal",   "antal",    "ilosc",
                                 "sztuk",      "pocet",        "kusu",       "darab",    "db"}},
    [HOLDS_OWNED] = {"owned", {"owned",      "own",         "have",      "got",      "got it",
                               "have it",    "do i own it", "in stock",  "stock",    "in my collection",
                               "collection", "mine",        "besitz",    "habe ich", "vorhanden",
                               "im besitz",  "hab ich",     "haben wir", "i have",   "we have",
                               "heb ik",     "possede",     "possedes",  "tengo",    "ho",
                               "possuo",     "bezit",       "mam"}},
    [HOLDS_STATUS] = {"status",
                      {"status", "state", "decision", "wish list", "entscheidung", "statut", "estado", "stato"}},
    [HOLDS_LOW] = {"low", {"low", "lowest", "low price", "min", "min price", "from", "ab", "tiefst"}},
    [HOLDS_HIGH] = {"high", {"high", "highest", "high price", "max", "max price"}},
    [HOLDS_DATE] = {"date", {"date", "as of", "day", "updated", "datum", "stand", "fecha", "data"}},
    [HOLDS_CURRENCY] = {"currency", {"currency", "wahrung", "devise", "moneda", "valuta", "moeda"}},
    [HOLDS_SHOP] = {"shop",
                    {"shop",      "store",    "seller",   "vendor",    "dealer",  "offered by", "laden",   "handler",
                     "verkaufer", "magasin",  "boutique", "marchand",  "vendeur", "geschaft",   "bottega", "obchod",
                     "tienda",    "vendedor", "negozio",  "venditore", "loja",    "winkel",     "butik",   "sklep"}},
    [HOLDS_STOCK] = {"stock", {"stock", "in stock", "available", "for sale", "lager", "auf lager", "disponible"}},
    [HOLDS_CONDITION] = {"condition", {"condition", "wear", "zustand", "etat", "estado", "condizione", "staat"}},
    [HOLDS_LANGUAGE] = {"language", {"language", "lang", "sprache", "langue", "idioma", "lingua", "taal"}},
    [HOLDS_CHOSEN] = {"chosen",
                      {"chosen", "in pool", "in the pool", "im pool", "dans le pool", "en el pool", "nel pool",
                       "w puli", "v poolu"}},
    [HOLDS_PAID] = {"paid",
                    {"paid", "i paid", "we paid", "paid in all", "bezahlt", "gezahlt", "paye", "pagado", "pagato",
                     "pago", "betaald", "betalt", "zaplacono", "zaplaceno", "fizetve"}},
    [HOLDS_ROLE] = {"role", {"role", "rolle", "rol", "ruolo"}},
    [HOLDS_WEIGHT] = {"weight", {"weight", "gewicht", "poids", "peso"}},
    [HOLDS_OWN] = {"own", {NULL}},
};

const char *field_name(ColumnField field)
{
    return field_words[field].name;
}

bool field_is_tags(ColumnField field)
{
    return field == HOLDS_TAGS || field == HOLDS_ENABLES || field == HOLDS_PAYS_OFF;
}

int field_of_name(const char *name)
{
    for (int f = 0; f <= HOLDS_OWN; f++)
        if (text_folds_to(name, field_words[f].name))
            return f;
    return -1;
}

/* Folded, with signs other than letters and digits as single blanks; what stands in brackets left out. Freed with
 * mem_free. */
static char *plain(const char *text)
{
    char *folded = text_fold(text), *to = folded;
    int depth = 0;
    for (const char *from = folded; *from != '\0'; from++) {
        depth += *from == '(' || *from == '[';
        const bool closes = *from == ')' || *from == ']';
        const bool sign = (unsigned char)*from < 128 && strchr("_-.:;,/|()[]*#?!'\" \t\n\r", *from) != NULL;
        if (!sign && depth == 0)
            *to++ = *from;
        else if (to > folded && to[-1] != ' ')
            *to++ = ' ';
        if (closes && depth > 0)
            depth--;
    }
    while (to > folded && to[-1] == ' ')
        to--;
    *to = '\0';
    return folded;
}

/* Is the word there, with blanks or the ends around it? */
static bool has_word(const char *text, const char *word)
{
    const size_t length = strlen(word);
    for (const char *at = text; (at = strstr(at, word)) != NULL; at++)
        if ((at == text || at[-1] == ' ') && (at[length] == '\0' || at[length] == ' '))
            return true;
    return false;
}

/* "Coul.": the beginning of the word, of three letters or more. */
static bool is_cut_short(const char *header, const char *text, const char *word)
{
    const size_t length = strlen(text);
    return length >= 3 && strchr(text, ' ') == NULL && text_ends_with(header, ".") && strncmp(text, word, length) == 0;
}

int header_names(const char *header, ColumnField field)
{
    if (strnlen(header, HEADER_MOST + 1) > HEADER_MOST)
        return 0;
    char *text = plain(header);
    int best = 0;
    for (size_t i = 0; i < WORDS_MOST && field_words[field].word[i] != NULL; i++) {
        const char *word = field_words[field].word[i];
        if (strcmp(text, word) == 0)
            best = 100;
        else if (best < 60 && strlen(word) >= 3 && (has_word(text, word) || is_cut_short(header, text, word)))
            best = 60;
    }
    mem_free(text);
    return best;
}

bool header_is(const char *header, ColumnField field)
{
    return header_names(header, field) == 100;
}

int header_meant(const char *const *header, size_t headers, ColumnField field)
{
    int best = 0, found = -1;
    for (size_t i = 0; i < headers; i++) {
        const int named = header_names(header[i], field);
        if (named > best) {
            best = named;
            found = (int)i;
        }
    }
    return found;
}

/* folded is freed. */
static bool is_one_of(char *folded, const char *const *word, size_t words)
{
    bool found = false;
    for (size_t i = 0; i < words && !found; i++)
        found = strcmp(folded, word[i]) == 0;
    mem_free(folded);
    return found;
}
#define IS_ONE_OF(text, words) is_one_of(text_fold(text), words, sizeof(words) / sizeof *(words))
/* Whatever signs are around it: "Cut?" */
#define IS_ONE_OF_PLAIN(text, words) is_one_of(plain(text), words, sizeof(words) / sizeof *(words))

bool header_is_verdict(const char *header)
{
    static const char *const word[] = {"verdict", "result",    "opinion",  "urteil", "ergebnis", "jugement",
                                       "avis",    "veredicto", "giudizio", "esito",  "veredito", "oordeel",
                                       "omdome",  "werdykt",   "verdikt",  "itelet"};
    return IS_ONE_OF(header, word);
}

bool header_is_remark(const char *header)
{
    static const char *const word[] = {"note",        "notes",    "comment",    "comments",  "remark",    "remarks",
                                       "why",         "notiz",    "notizen",    "bemerkung", "anmerkung", "kommentar",
                                       "commentaire", "remarque", "comentario", "nota",      "commento",  "opmerking",
                                       "anmarkning",  "uwaga",    "uwagi",      "poznamka",  "megjegyzes"};
    return IS_ONE_OF(header, word);
}

bool header_is_aside(const char *header)
{
    static const char *const word[] = {"nr", "no", "no.", "#", "id", "index", "link", "url", "page", "where", "set"};
    return header_is_remark(header) || IS_ONE_OF(header, word);
}

bool header_is_month(const char *header)
{
    static const char *const month[] = {
        "jan",       "january",   "feb",       "february",  "mar",         "march",     "apr",        "april",
        "may",       "jun",       "june",      "jul",       "july",        "aug",       "august",     "sep",
        "sept",      "september", "oct",       "october",   "nov",         "november",  "dec",        "december",
        "januar",    "februar",   "marz",      "mrz",       "mai",         "juni",      "juli",       "okt",
        "oktober",   "dez",       "dezember",  "janv",      "janvier",     "fev",       "fevr",       "fevrier",
        "mars",      "avr",       "avril",     "juin",      "juil",        "juillet",   "aout",       "septembre",
        "octobre",   "novembre",  "decembre",  "ene",       "enero",       "febrero",   "marzo",      "abr",
        "abril",     "mayo",      "junio",     "julio",     "ago",         "agosto",    "septiembre", "octubre",
        "noviembre", "dic",       "diciembre", "gen",       "gennaio",     "febbraio",  "mag",        "maggio",
        "aprile",    "giu",       "giugno",    "lug",       "luglio",      "settembre", "ott",        "ottobre",
        "novembre",  "dicembre",  "janeiro",   "fevereiro", "marco",       "maio",      "junho",      "julho",
        "setembro",  "outubro",   "novembro",  "dezembro",  "januari",     "februari",  "maart",      "mrt",
        "mei",       "augustus",  "maj",       "augusti",   "styczen",     "luty",      "marzec",     "kwiecien",
        "czerwiec",  "lipiec",    "sierpien",  "wrzesien",  "pazdziernik", "listopad",  "grudzien",   "leden",
        "unor",      "brezen",    "duben",     "kveten",    "cerven",      "cervenec",  "srpen",      "zari",
        "rijen",     "prosinec",  "marcius",   "aprilis",   "majus",       "junius",    "julius",     "augusztus",
        "szeptember"};
    char *text = plain(header);
    bool found = false;
    for (size_t i = 0; i < sizeof month / sizeof *month && !found; i++)
        found = has_word(text, month[i]);
    for (const char *at = text; *at != '\0' && !found; at += strcspn(at, " "), at += strspn(at, " ")) /* a year */
        found = strspn(at, "0123456789") == 4 && strncmp(at, "20", 2) == 0 && (at[4] == ' ' || at[4] == '\0');
    mem_free(text);
    return found;
}

bool header_is_status(const char *header)
{
    static const char *const word[] = {"cut",    "wish",   "wished",  "wanted",   "keep",      "kept",     "ban",
                                       "banned", "wunsch", "wunsche", "behalten", "gesperrt",  "souhait",  "souhaits",
                                       "envie",  "garder", "deseo",   "deseos",   "desiderio", "desideri", "desejo",
                                       "wens",   "wensen", "onskan",  "onske",    "zyczenie",  "prani",    "kivansag"};
    return IS_ONE_OF_PLAIN(header, word);
}

const char *word_as_status(const char *text)
{
    static const char *const keep[] = {"keep",     "keeper",    "kept",     "behalten",  "bleibt", "garder",
                                       "mantener", "conservar", "tenere",   "mantenere", "manter", "houden",
                                       "behall",   "zostaje",   "zachowac", "nechat",    "marad"};
    static const char *const ban[] = {"ban",       "banned",   "raus",    "gesperrt", "sperren",  "verboten",
                                      "bannir",    "interdit", "exclu",   "exclure",  "exclue",   "fuera",
                                      "prohibida", "fuori",    "vietata", "fora",     "proibida", "eruit",
                                      "bannad",    "zakazana", "zakazat", "vyradit",  "tiltott"};
    static const char *const wish[] = {"wish",      "wished", "wunsch", "gewunscht", "souhait",  "envie", "deseo",
                                       "desiderio", "desejo", "wens",   "onskan",    "zyczenie", "prani", "kivansag"};
    static const char *const in[] = {"in", "drin", "dabei", "dedans", "dentro", "erin"};
    return IS_ONE_OF(text, keep)   ? "keep"
           : IS_ONE_OF(text, ban)  ? "ban"
           : IS_ONE_OF(text, wish) ? "wish"
           : IS_ONE_OF(text, in)   ? "in"
                                   : NULL;
}

bool cell_says_status(const char *text)
{
    size_t length;
    bool found = false;
    for (const char *rest = text, *part; !found && (part = text_part(&rest, ";", &length)) != NULL;) {
        char *copy = mem_strndup(part, length);
        found = word_as_status(copy) != NULL;
        mem_free(copy);
    }
    return found;
}

bool word_is_nothing(const char *text)
{
    static const char *const word[] = {"n/a", "na",   "n.a.", "?",   "??",   "???",  "-",       "--", "---", "tbd",
                                       "tbc", "none", "null", "nil", "#n/a", "k.a.", "unknown", "x?", ".",   "..."};
    /* dashes of word processors */
    return IS_ONE_OF(text, word) || strcmp(text, "\xE2\x80\x93") == 0 || strcmp(text, "\xE2\x80\x94") == 0;
}

bool word_is_total(const char *text)
{
    static const char *const word[] = {
        "total",    "totals",        "sum",        "subtotal", "grand total", "in total", "average",      "summe",
        "gesamt",   "zwischensumme", "somme",      "suma",     "somma",       "totale",   "totaal",       "summa",
        "totalt",   "razem",         "celkem",     "soucet",   "osszesen",    "moyenne",  "durchschnitt", "mittelwert",
        "promedio", "media",         "gemiddelde", "medel",    "srednia",     "prumer",   "atlag"};
    static const char *const behind[] = {"of", "for ", "so far", "cards", "price", "prices", "cost", "value", "all"};
    const size_t digits = strspn(text, "0123456789");
    if (digits > 0 && text[digits] == ' ' && word_is_list(text + digits + 1) &&
        strpbrk(text + digits, "0123456789") == NULL)
        return true; /* "360 cards" */
    char *folded = plain(text);
    bool found = false;
    for (size_t i = 0; i < sizeof word / sizeof *word && !found; i++) {
        const size_t length = strlen(word[i]);
        if (strncmp(folded, word[i], length) != 0 || (folded[length] != '\0' && folded[length] != ' '))
            continue;
        const char *rest = folded + length + (folded[length] == ' ');
        found = rest[0] == '\0' || (rest[0] >= '0' && rest[0] <= '9');
        for (size_t k = 0; k < sizeof behind / sizeof *behind && !found; k++)
            found = strncmp(rest, behind[k], strlen(behind[k])) == 0;
    }
    mem_free(folded);
    return found;
}

bool word_is_colourless(const char *text)
{
    static const char *const word[] = {"colourless", "colorless", "neutral",  "no colour", "no color",  "none",
                                       "farblos",    "incolore",  "incoloro", "incolor",   "kleurloos", "farglos",
                                       "bezbarwny",  "bezbarwna", "bezbarvy", "bezbarva",  "szintelen"};
    return IS_ONE_OF(text, word);
}

char word_between(const char *word, size_t length)
{
    static const char *const both[] = {"and", "und", "et", "y", "e", "en", "och", "i", "a", "es"},
                             *const either[] = {"or", "oder", "ou", "o", "of", "eller", "lub", "albo", "nebo", "vagy"};
    char *copy = mem_strndup(word, length);
    const char mark = IS_ONE_OF(copy, both) ? '+' : IS_ONE_OF(copy, either) ? '/' : '\0';
    mem_free(copy);
    return mark;
}

char *words_as_marks(const char *text, char either, const char *const *name, size_t names)
{
    char *marked = mem_strndup(text, strlen(text));
    bool found = false;
    for (size_t at = strcspn(text, " "); text[at] != '\0';) {
        at += strspn(text + at, " ");
        const size_t length = strcspn(text + at, " ");
        const char mark = text[at + length] == ' ' ? word_between(text + at, length) : '\0';
        char *word = mem_strndup(text + at, length);
        if (mark != '\0' && text_find(word, name, names) < 0) {
            memset(marked + at, ' ', length);
            marked[at] = mark == '+' ? '+' : either;
            found = true;
        }
        mem_free(word);
        at += length;
    }
    if (found)
        return marked;
    mem_free(marked);
    return NULL;
}

bool word_is_any(const char *text)
{
    static const char *const word[] = {"all", "any", "none", "multi", "multicolour", "multicolor", "every"};
    return IS_ONE_OF(text, word);
}

bool word_is_removal(const char *tag)
{
    static const char *const word[] = {"removal",    "answer",      "answers",      "destroy",     "destruction",
                                       "entfernung", "suppression", "retrait",      "eliminacion", "destruccion",
                                       "rimozione",  "remocao",     "verwijdering", "borttagning", "usuwanie",
                                       "likvidace",  "eltavolitas"};
    return IS_ONE_OF_PLAIN(tag, word);
}

bool word_is_list(const char *text)
{
    static const char *const word[] = {"card",   "cards",   "list",  "lists",  "mono",  "candidates", "sheet", "only",
                                       "karten", "karte",   "liste", "cartes", "carte", "cartas",     "carta", "lista",
                                       "elenco", "kaarten", "lijst", "kort",   "karty", "lapok",      "tab"};
    return IS_ONE_OF(text, word) || text[strspn(text, "0123456789")] == '\0';
}

Role word_as_role(const char *text)
{
    static const char *const enabler[] = {"enabler", "enablers", "enables", "starter", "starters", "start",
                                          "starts",  "setup",    "set up",  "set-up",  "source",   "sources",
                                          "makes",   "maker",    "feeder",  "quelle",  "ausloser", "amorce",
                                          "fuente",  "fonte",    "bron",    "zrodlo",  "zdroj",    "forras"};
    static const char *const payoff[] = {"payoff",  "payoffs",    "pay off",   "pay-off", "pays off",   "reward",
                                         "rewards", "finisher",   "finish",    "ends",    "goal",       "target",
                                         "ziel",    "lohn",       "belohnung", "but",     "recompense", "recompensa",
                                         "premio",  "ricompensa", "beloning",  "nagroda", "odmena",     "jutalom"};
    return IS_ONE_OF(text, enabler) ? ROLE_ENABLER : IS_ONE_OF(text, payoff) ? ROLE_PAYOFF : ROLE_NONE;
}

bool word_is_fixing(const char *text)
{
    static const char *const word[] = {"fixing", "fixer", "fixers", "colour fixing", "color fixing"};
    return IS_ONE_OF(text, word);
}

int word_says_yes(const char *text)
{
    static const char *const yes[] = {"yes",    "y",
                                      "x",      "ja",
                                      "oui",    "si",
                                      "sim",    "tak",
                                      "ano",    "igen",
                                      "true",   "wahr",
                                      "vrai",   "verdadero",
                                      "vero",   "verdadeiro",
                                      "waar",   "sant",
                                      "prawda", "pravda",
                                      "igaz",   "✓",
                                      "✔",      "✔\xEF\xB8\x8F",
                                      "☑",      "☑\xEF\xB8\x8F",
                                      "✅"}; /* with the selector of a coloured picture */
    static const char *const no[] = {"no",    "n",        "nein",  "non",    "nao",  "nee",   "nej",    "nie",
                                     "ne",    "nem",      "false", "falsch", "faux", "falso", "onwaar", "falskt",
                                     "falsz", "nepravda", "hamis", "✗",      "✘",    "☐",     "❌"};
    return IS_ONE_OF(text, yes) ? 1 : IS_ONE_OF(text, no) ? 0 : -1;
}

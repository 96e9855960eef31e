# pool.mod - the rules of tests/mathprog/model.yaml written down a second time, in MathProg, straight from docs/files.md.
# Run: glpsol -m pool.mod -d pool.dat -d CAP.dat, where CAP.dat gives the cap: data; param cap := 29; end;
#
# A card's colours are PARTS: (card, part, colour) says that this part can be paid with this colour. Every part must be paid.

set COLOURS;
set CARDS;
set PARTS within {CARDS, {1..3}, COLOURS};
set KINDS within {CARDS, {'crew', 'vessel', 'port', 'cargo'}};
set THEMES;
set THEME_COLOURS within {THEMES, COLOURS};
set TAGS dimen 2;                              # tags that are no themes: (card, tag)
set TAGGED within {CARDS, THEMES};
set ENABLERS within TAGGED;                    # role enabler or both
set PAYOFFS within TAGGED;                     # role payoff or both

param cost {CARDS};
param power {CARDS};
param price {CARDS};
param copies {CARDS} default 1;
param owned {CARDS} default 0;
param weight {TAGGED} default 1;
param theme_weight {THEMES};
param size;
param cap;
param per_signpost;                            # fit lost per missing signpost

# What follows from the colours.
set SHOWN {c in CARDS} := setof {(c, p, k) in PARTS} k;
param parts {c in CARDS} := max {p in 0..3: p = 0 or exists {k in COLOURS} (c, p, k) in PARTS} p;
set PAIRS := {a in COLOURS, b in COLOURS: a < b};

set FIXING := {c in CARDS: (c, 'port') in KINDS};
set COLOURLESS := {c in CARDS diff FIXING: parts[c] = 0};
set MONO := {c in CARDS diff FIXING: parts[c] = 1 and card(SHOWN[c]) = 1};
set HYBRID := {c in CARDS diff FIXING: parts[c] = 1 and card(SHOWN[c]) > 1};
set GOLD := {c in CARDS diff FIXING: parts[c] > 1};

set MONO_OF {k in COLOURS} := {c in MONO: k in SHOWN[c]};
set EXACT_PAIR {(a, b) in PAIRS} := {c in CARDS: card(SHOWN[c]) = 2 and a in SHOWN[c] and b in SHOWN[c]};
set TOUCHING {k in COLOURS} := {c in CARDS: k in SHOWN[c]};
set IN_THEME {t in THEMES} :=
  {c in CARDS: (c, t) in TAGGED and forall {p in 1..parts[c]} (exists {k in COLOURS} ((c, p, k) in PARTS and (t, k) in THEME_COLOURS))};

# The share of all decks of two colours that can play a card.
set PLAYABLE_IN {c in CARDS} := {(a, b) in PAIRS: forall {p in 1..parts[c]} ((c, p, a) in PARTS or (c, p, b) in PARTS)};

param fit {c in CARDS} := round(power[c] + sum {t in THEMES: (c, t) in TAGGED} weight[c, t] * theme_weight[t], 3);

var have {c in CARDS} integer >= 0 <= owned[c];               # owned copies in the pool
var buy {c in CARDS} integer >= 0 <= max(copies[c] - owned[c], 0);
var bought {CARDS} binary;                                    # owned copies come first
var missing {THEMES} integer >= 0;                            # signposts short

maximize best: sum {c in CARDS} fit[c] * (have[c] + buy[c]) - per_signpost * sum {t in THEMES} missing[t];

s.t. most {c in CARDS}: have[c] + buy[c] <= copies[c];
s.t. owned_first_a {c in CARDS}: buy[c] <= copies[c] * bought[c];
s.t. owned_first_b {c in CARDS}: have[c] >= min(owned[c], copies[c]) * bought[c];
s.t. whole_pool: sum {c in CARDS} (have[c] + buy[c]) = size;
s.t. money: sum {c in CARDS} price[c] * buy[c] <= cap;

s.t. mono_low {k in COLOURS}: sum {c in MONO_OF[k]} (have[c] + buy[c]) >= 4;
s.t. mono_high {k in COLOURS}: sum {c in MONO_OF[k]} (have[c] + buy[c]) <= (if k = 'tar' then 4 else 5);
s.t. gold_each {(a, b) in PAIRS}: sum {c in GOLD inter EXACT_PAIR[a, b]} (have[c] + buy[c]) = (if a = 'brass' and b = 'glass' then 0 else 1);
s.t. hybrid_each {(a, b) in PAIRS}: sum {c in HYBRID inter EXACT_PAIR[a, b]} (have[c] + buy[c]) <= 1;
s.t. colourless_low: sum {c in COLOURLESS} (have[c] + buy[c]) >= 3;
s.t. early {k in COLOURS}: sum {c in MONO_OF[k]: cost[c] <= 2} (have[c] + buy[c]) >= 3;
s.t. fixing_each {k in COLOURS}: sum {c in FIXING inter TOUCHING[k]} (have[c] + buy[c]) >= 1;
s.t. bodies {k in COLOURS}:
  5 * sum {c in MONO_OF[k]: (c, 'crew') in KINDS or (c, 'vessel') in KINDS} (have[c] + buy[c]) >= 3 * sum {c in MONO_OF[k]} (have[c] + buy[c]);
s.t. removal: sum {c in CARDS: (c, 'removal') in TAGS} (have[c] + buy[c]) >= 5;
s.t. curve: sum {c in CARDS diff FIXING} (cost[c] - 2.15) * (have[c] + buy[c]) <= 0;
s.t. outliers: sum {c in CARDS: power[c] >= 7.5 and c <> 'Sink'} (have[c] + buy[c]) <= 2;     # the sinking is exempt
s.t. payoffs {t in THEMES}: sum {c in IN_THEME[t]: (c, t) in PAYOFFS} (have[c] + buy[c]) >= 2;
s.t. signposts {t in THEMES}: sum {c in IN_THEME[t] inter GOLD} (have[c] + buy[c]) + missing[t] >= 2;
s.t. theme_money {t in THEMES}: sum {c in IN_THEME[t]} price[c] * buy[c] <= 7.20;
s.t. wide: sum {c in CARDS: 10 * card(PLAYABLE_IN[c]) >= 6 * card(PAIRS)} (have[c] + buy[c]) >= 8;
s.t. enabling: sum {c in CARDS: exists {t in THEMES} ((c, t) in ENABLERS)} (have[c] + buy[c]) >= 10;

solve;
end;

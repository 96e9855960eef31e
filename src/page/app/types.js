// Shapes that the modules share: what the engine answers (docs/verbs.md) and what the page itself keeps.

/**
 * @typedef {{name: string, copies: number}} Copies
 * @typedef {{at_least?: number, at_most?: number}} Range
 * @typedef {{at_least?: number, at_most?: number, average_at_least?: number, average_at_most?: number}} Bounds
 *
 * @typedef {object} Card a candidate
 * @property {string} name
 * @property {string} colours as the sheets write them: "brass+tar", "brass/tar", ""
 * @property {string} class colourless, mono, gold, hybrid, fixing
 * @property {string[]} kind
 * @property {number|null} cost
 * @property {number|null} power
 * @property {number|null} price money
 * @property {string} [price_date] the day that the price is of
 * @property {number} fit of one copy
 * @property {number} [owned]
 * @property {number} [copies] most in the pool
 * @property {string} [text]
 * @property {string} [status] keep, ban, wish, in (the present pool), parted by "; "
 * @property {number} [present] copies in the present pool
 * @property {{tag: string, role?: string|null, weight?: number}[]} tags
 *
 * @typedef {object} LimitUse one of `rules` of an answer
 * @property {string} name
 * @property {string} of the colour, pair or theme; "" for none
 * @property {string} kind
 * @property {Bounds} limit
 * @property {string} asks the limit in words; so are `has` and `left`
 * @property {string} [has]
 * @property {string} [left]
 * @property {number} [written] of the cap: as the model says it, before headroom and what was paid
 * @property {"money" | "percent"} [unit] of the bounds and of `use`
 * @property {number | null} [use] null: an average or a share of no cards
 * @property {number} slack
 * @property {boolean} tight
 * @property {boolean} [counts]
 * @property {number} [missed] of a soft one, by so much
 * @property {string} [file]
 * @property {number} [line]
 *
 * @typedef {{name: string, of: string, kind: string, limit: Bounds, asks: string, has: string, use: number | null, within: boolean, counts?: boolean, file?: string, line?: number}} Watch one of `watches.rules`: only counted
 *
 * @typedef {object} LimitRef a limit that an explanation speaks of
 * @property {string} name
 * @property {string} of
 * @property {string} [limit_kind]
 * @property {string} [side]
 * @property {Bounds} [limit]
 * @property {string} asks the limit in words; "" for keeps and bans
 * @property {string} [loosened] by how much, in words
 * @property {"money" | "percent"} [unit] of the bounds
 * @property {string} [file]
 * @property {number} [line]
 * @property {string} [kind]
 * @property {Range} [by]
 * @property {Range} [from_step]
 * @property {Range} [gain]
 * @property {number} [within]
 * @property {Copies[]} [enters]
 * @property {Copies[]} [leaves]
 *
 * @typedef {{found?: boolean, minimal?: boolean, limits: LimitRef[]}} Conflict
 *
 * @typedef {object} WhyCard
 * @property {string} name
 * @property {boolean} in
 * @property {boolean} [candidate]
 * @property {boolean} [kept]
 * @property {boolean} [banned]
 * @property {{date: string, reason: string}} [cut]
 * @property {string} [trial]
 * @property {string} [never]
 * @property {boolean} [impossible]
 * @property {Range} [loss]
 * @property {Copies[]} [enters]
 * @property {Copies[]} [leaves]
 * @property {{leaves: string|null, loss: number, cost_change: number}} [one_swap]
 * @property {Range} [fit_from]
 * @property {string[]} [text] from which fit and price on it would be in
 * @property {LimitRef[]} [limits]
 * @property {Conflict} [conflict]
 *
 * @typedef {{name: string, in: boolean, kind: string, loss?: Range, score_matters: "yes" | "no" | "unknown"}} Firm how firmly a card stands
 *
 * @typedef {object} Answer of `best` (and, in part, of a case)
 * @property {string} status best, within gap, infeasible, stopped
 * @property {number} [fit]
 * @property {number} [bound]
 * @property {number} [gap]
 * @property {number} [cost]
 * @property {number} [size]
 * @property {{cost?: string, changes?: string, names?: string}} [among_equals]
 * @property {Card[] | Copies[]} [pool]
 * @property {string} [limits_met] "every limit met", or what was missed
 * @property {LimitUse[]} [rules]
 * @property {{rules: Watch[], text?: string[]}} [watches]
 * @property {{name: string, in: boolean}[]} [wishes]
 * @property {{name: string, counts?: boolean}[]} [themes] counts: false where a choice leaves it out
 * @property {string} [weakest] of the themes
 * @property {any[]} [structure]
 * @property {{name: string, colour: string, place: string, copies: number}[]} [places]
 * @property {{colours: string, cards: number}[]} [decks]
 * @property {any} [money]
 * @property {LimitRef[]} [binding]
 * @property {WhyCard[]} [wishes_out]
 * @property {{margin: number, cards: Firm[], stays?: number, trials?: number, trials_proven?: boolean}} [firmness]
 * @property {any[]} [causes]
 * @property {Conflict} [conflict]
 * @property {any} [repair]
 * @property {Copies[]} [enters]
 * @property {Copies[]} [leaves]
 * @property {{enters: Copies[], leaves: Copies[], changes?: number, fewest?: string}} [nearest]
 * @property {{file: string, line: number, text: string}[]} [notices]
 * @property {{message: string, file?: string, line?: number, column?: number}[]} [error]
 *
 * @typedef {{mean: number, nine_in_ten: number}} Seen of some cards: how many on average; so many at least see nine seats of ten
 * @typedef {{copies: number, pack: Seen, opens: Seen, sees: Seen}} SeenCards in the pool; in one pack, in all packs of a seat, in all that passes it
 *
 * @typedef {object} Seats what seats see of a pool, an answer of `seats`
 * @property {number} pool cards
 * @property {number} seats
 * @property {number} packs
 * @property {number} pack_size
 * @property {{opens: number, sees: number, dealt: number}} drawn
 * @property {{enablers: number, payoffs: number}} package what one drafter needs
 * @property {{theme: string, short_of: "enablers" | "payoffs" | null, enough_enablers: number[], enough_payoffs: number[], cards: SeenCards, enablers: SeenCards, payoffs: SeenCards}[]} themes the one that is short first; short_of null: no candidate has a role there, or the pool does not choose it
 * @property {string | null} [short_first] that theme; null: no card is tagged with a role
 * @property {string[]} [text] what the screen says of it
 * @property {{name: string, in: boolean, dealt: number, sees: number, opens: number}[]} together
 * @property {{message: string}[]} [error]
 *
 * @typedef {object} Model what the page knows of the rules
 * @property {{from: number, to: number}} [size]
 * @property {number | null} [cap]
 * @property {number} [handling] money for each bought copy besides its price
 * @property {string[]} colours
 * @property {string[]} pairs
 * @property {{name: string, colours: string, weight: number, engine?: {bonus: number, ratio: number, enablers_per_payoff?: {from?: number, to?: number}}}[]} themes
 * @property {number} [unscored] the power of a card without one
 * @property {boolean} [present] whether there is a present pool
 * @property {{name: string, file?: string} | null} [journal] file: where it is
 * @property {SheetStyle} [sheets]
 * @property {any[]} [forms] what adds fit beside the cards, and by what
 * @property {any[]} [limits]
 * @property {any} [seats]
 * @property {{name: string, change?: any, cards?: any, files?: string[]}[]} [cases]
 * @property {string[]} [each] what a new limit may be for; then what it may say
 * @property {{name: string, expected: string, values?: string[]}[]} [fields]
 * @property {string[]} [columns]
 * @property {{name: string, expected: string}[]} [measures]
 *
 * @typedef {{separator: string, decimal_commas: boolean, marked: boolean, headers: Record<string, string>, words?: Record<string, string>}} SheetStyle how the scenario's sheets are written; headers: what they call fields; words: theirs for roles, statuses and verdicts
 * @typedef {{path: string, header: string[], rows: string[][], notes?: number[]}} Cells of one sheet, as the engine reads it; notes: of notes from play, where card, verdict, date and note are, -1 nowhere
 *
 * @typedef {"keep" | "ban" | "wish" | "free"} Wish what is asked of a card; free: whatever the sheets say of it no longer holds
 *
 * @typedef {{power?: number, price?: number}} Values of a card, other than the sheets say
 *
 * @typedef {object} Asked all that a state asks beyond the scenario as it was opened
 * @property {string} [base] a case of the scenario that it begins from
 * @property {number | null} [cap] null: no cap
 * @property {number} [size]
 * @property {Record<string, Wish>} cards
 * @property {Record<string, Values>} values other prices and powers
 * @property {Record<string, Record<string, Record<string, any>>>} bounds of a rule, by member ("" for the rule itself)
 * @property {Record<string, Record<string, any>>} parts of the structure (apart, groups, needs, places, choose), by name; engines, by theme
 * @property {string[]} off rules that are switched off
 * @property {Record<string, number>} weights of themes
 * @property {any[]} rules new ones
 *
 * @typedef {object} Step
 * @property {string} label what was done to come here
 * @property {Asked} asked
 * @property {Answer | null} answer the pool; null while it is being searched
 * @property {Answer | null} reasons the same with reasons
 * @property {Seats | null} [seats] what seats see of its pool
 * @property {string} [problem] why there is no answer
 * @property {number} [effort] after which the search was given up
 * @property {string} [kind] what was moved, where it is moved in small steps
 *
 * @typedef {{mark: "taken" | "later" | "never", because?: string, date?: string, swap?: {enter: string, leave: string}}} Mark of a swap
 *
 * @typedef {object} Engine
 * @property {(question: any) => Promise<any>} ask
 * @property {(path: string) => Promise<{sheets?: Cells[], error?: {message: string}[]}>} sheets all sheets of a file
 * @property {() => void} giveUp
 * @property {() => void} end
 *
 * @typedef {object} Importer
 * @property {(question: {size: string, colours: string, themes: string}) => Promise<{files?: Record<string, string>, error?: {message: string}[]}>} init
 * @property {Engine["sheets"]} sheets
 * @property {(question: {files: string[], folder: string, answers: Record<string, string>, cap?: string}) => Promise<Imported>} ask
 * @property {() => void} end
 *
 * @typedef {object} ImportQuestion
 * @property {string} id
 * @property {string} text
 * @property {string} likely
 * @property {string} answer
 * @property {boolean} sure hardly a question
 * @property {string[]} [choices]
 * @property {number} [count] cells that it is about
 * @property {number} [of]
 * @property {{text: string, file: string, line: number}[]} examples
 *
 * @typedef {object} Imported
 * @property {{path: string, role: string, lines: number, candidates: number}[]} [sheets]
 * @property {ImportQuestion[]} [questions]
 * @property {string} [model] as text
 * @property {string} [scenario] as text
 * @property {{text: string, file?: string, line?: number}[]} [notices]
 * @property {{message: string, file?: string, line?: number}[]} [error]
 *
 * @typedef {object} PageData what was written into the page
 * @property {Record<string, string | {base64: string}>} files
 * @property {string} main path of the scenario among the files
 * @property {Model} model
 * @property {{cards: Card[]}} cards
 * @property {Answer} best
 * @property {any} [caps]
 * @property {any} [cases]
 * @property {any} [revise]
 * @property {Seats} [seats]
 * @property {{words: {word: string, meaning: string, also?: string[], group?: string}[]}} [words]
 * @property {any[]} history
 * @property {Record<string, Mark>} marks
 * @property {{pool: Copies[], prices: Record<string, number | null>}} [last] as it was when the page was saved, or before new sheets came
 * @property {{name: string, asked: Asked, answer?: Answer | null}[]} [kept] states kept as cases
 */

export {};

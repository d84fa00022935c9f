/**
 * Shoe size and bare foot length: size = (length + allowance) / step - restart.
 *
 * Unit:      mm. `from` and `to` are the sizes between which the system is used here: a child's
 *            UK or US size starts anew after 13.
 * Source:    EU and UK child: formula of an open-source unit library; Mondopoint: ISO 9407:2019,
 *            the length itself; US child: from memory, a third of a size above UK; charts that were
 *            seen give half a size to one size above UK
 * Precision: about one size: public charts give the same foot sizes that lie one apart
 */
export const SHOE_SYSTEMS = {
  eu: { step: 20 / 3, allowance: 15, restart: 0, from: 14, to: 40, memory: false },
  'uk-child': {
    step: 25.4 / 3,
    allowance: 0,
    restart: 10,
    from: 0,
    to: 13.5,
    memory: false,
  },
  'us-child': {
    step: 25.4 / 3,
    allowance: 0,
    restart: 9.67,
    from: 0,
    to: 13.5,
    memory: true,
  },
  mondopoint: {
    step: 1,
    allowance: 0,
    restart: 0,
    from: 75,
    to: 260,
    memory: false,
  },
} as const

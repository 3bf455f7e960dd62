/** A spray-out of a formula as the shop made it. Parts are the formula's own unless they are said here. */
export interface SprayoutPlan {
  of: string;
  id?: string;
  sprayed: string;
  by: string;
  film?: number;
  inCoats?: number;
  labOnly?: boolean;
  /** Parts as they were in the formula then. */
  asThen?: Readonly<Record<string, number>>;
  mid?: number;
  note?: string;
  comment?: string;
}

export const sprayouts: readonly SprayoutPlan[] = [
  {
    of: 'SAM-31',
    id: 'SAM-31-first',
    sprayed: '2026-09-16',
    by: 'IM',
    labOnly: true,
    asThen: { 'GRN-2': 38.6, 'ALU-C': 23.4 },
    note: 'Too light and too weak. The green went up after this card.',
    comment: 'History: a card of the formula as it was in September.',
  },
  { of: 'SAM-31', id: 'SAM-31-card', sprayed: '2026-10-02', by: 'RO', comment: 'From batch 2026-10-02-A.' },
  { of: 'SAM-31', id: 'SAM-31-card-2', sprayed: '2026-10-19', by: 'IM', note: 'Same cup, next week, other hand.' },
  { of: 'SAM-31/dark', sprayed: '2026-10-19', by: 'RO' },
  { of: 'SAM-31/light', sprayed: '2026-10-27', by: 'IM' },
  { of: 'KLP-4', sprayed: '2026-09-16', by: 'RO' },
  { of: 'LAG-2', sprayed: '2026-10-08', by: 'IM' },
  { of: 'HRN-1', sprayed: '2026-09-10', by: 'RO' },
  { of: 'HRN-1', id: 'HRN-1-card-2', sprayed: '2026-09-11', by: 'IM', film: 20, note: 'A fuller last coat.' },
  { of: 'HRN-1/sparkle', sprayed: '2026-10-14', by: 'RO' },
  { of: 'PEW-6', sprayed: '2026-09-24', by: 'RO' },
  { of: 'SHL-2', sprayed: '2026-09-30', by: 'IM', labOnly: true },
  { of: 'FOG-1', sprayed: '2026-10-06', by: 'RO' },
  { of: 'EST-9', sprayed: '2026-10-12', by: 'IM' },
  { of: 'SLO-3', sprayed: '2026-10-15', by: 'RO', inCoats: 4 },
  { of: 'DUS-4', sprayed: '2026-10-22', by: 'IM' },
  {
    of: 'MUL-5',
    sprayed: '2026-11-10',
    by: 'IM',
    note: 'Bluer and lighter on the face than the door. Violet down, magenta up, less flake.',
  },
  { of: 'CUR-3', sprayed: '2026-10-26', by: 'RO', inCoats: 4, film: 22 },
  { of: 'COP-8', sprayed: '2026-09-29', by: 'RO' },
  { of: 'STR-7', sprayed: '2026-09-21', by: 'IM' },
  {
    of: 'PRL-7',
    id: 'PRL-7-step-1',
    sprayed: '2026-11-05',
    by: 'RO',
    mid: 1,
    comment: 'The step panel, one mid coat more on each quarter.',
  },
  { of: 'PRL-7', id: 'PRL-7-step-2', sprayed: '2026-11-05', by: 'RO', mid: 2 },
  { of: 'PRL-7', id: 'PRL-7-step-3', sprayed: '2026-11-05', by: 'RO', mid: 3 },
  { of: 'PRL-7', id: 'PRL-7-step-4', sprayed: '2026-11-05', by: 'RO', mid: 4 },
  { of: 'CHK-1', sprayed: '2026-09-08', by: 'RO' },
  { of: 'CHK-1/aged', sprayed: '2026-10-21', by: 'IM' },
  { of: 'GUL-2', sprayed: '2026-09-09', by: 'RO' },
  { of: 'SLT-4', sprayed: '2026-09-16', by: 'IM', labOnly: true },
  { of: 'TAR-1', sprayed: '2026-09-15', by: 'RO' },
  { of: 'BUO-7', sprayed: '2026-09-23', by: 'RO' },
  { of: 'BRK-3', sprayed: '2026-09-25', by: 'IM' },
  { of: 'LIN-2', sprayed: '2026-09-30', by: 'RO' },
  { of: 'GRS-5', sprayed: '2026-10-02', by: 'RO' },
  { of: 'SND-6', sprayed: '2026-10-06', by: 'IM' },
  { of: 'TID-8', sprayed: '2026-10-09', by: 'RO' },
  { of: 'PUF-3', sprayed: '2026-10-13', by: 'RO' },
  { of: 'REE-9', sprayed: '2026-10-15', by: 'IM', labOnly: true },
  { of: 'REE-10', sprayed: '2026-10-28', by: 'IM' },
];

/** A ladder card: toners in binder or white, as few as tell something. */
export interface DrawdownPlan {
  id: string;
  name: string;
  drawn: string;
  by: string;
  over: string;
  film: number;
  parts: Readonly<Record<string, number>>;
  angles: 'five' | 'flat';
  comment?: string;
}

type Step = readonly [
  id: string,
  name: string,
  parts: Readonly<Record<string, number>>,
  change?: Partial<DrawdownPlan>,
];

function ladder(common: Omit<DrawdownPlan, 'id' | 'name' | 'parts'>, comment: string, steps: readonly Step[]) {
  return steps.map(
    ([id, name, parts, change], i): DrawdownPlan => ({
      ...common,
      ...(i === 0 && { comment }),
      id,
      name,
      parts,
      ...change,
    }),
  );
}

const sprayedByMachine = { by: 'RO', over: 'SEAL grey N2', film: 16, angles: 'five' } as const;

/** WB effect ladders: every flake at two shares and with black, every colour in a flake, and what lightens the flop. */
export const effectLadders: readonly DrawdownPlan[] = [
  ...ladder({ ...sprayedByMachine, drawn: '2026-09-01' }, 'Aluminiums: full, thin, and with three steps of black.', [
    ['ALU-C-full', 'Coarse aluminium, full', { 'ALU-C': 60, 'BND-0': 40 }],
    ['ALU-C-thin', 'Coarse aluminium, thin', { 'ALU-C': 25, 'BND-0': 75 }],
    ['ALU-C-blk-1', 'Coarse aluminium, trace of black', { 'ALU-C': 45, 'BLK-1': 0.4, 'BND-0': 54.6 }],
    ['ALU-C-blk-2', 'Coarse aluminium, some black', { 'ALU-C': 45, 'BLK-1': 1.6, 'BND-0': 53.4 }],
    ['ALU-C-blk-3', 'Coarse aluminium, much black', { 'ALU-C': 45, 'BLK-1': 5, 'BND-0': 50 }],
    ['ALU-M-full', 'Medium aluminium, full', { 'ALU-M': 60, 'BND-0': 40 }],
    ['ALU-M-thin', 'Medium aluminium, thin', { 'ALU-M': 25, 'BND-0': 75 }],
    ['ALU-M-blk-1', 'Medium aluminium, trace of black', { 'ALU-M': 45, 'BLK-1': 0.4, 'BND-0': 54.6 }],
    ['ALU-M-blk-2', 'Medium aluminium, some black', { 'ALU-M': 45, 'BLK-1': 1.6, 'BND-0': 53.4 }],
    ['ALU-M-blk-3', 'Medium aluminium, much black', { 'ALU-M': 45, 'BLK-1': 5, 'BND-0': 50 }],
    ['ALU-F-full', 'Fine aluminium, full', { 'ALU-F': 60, 'BND-0': 40 }],
    ['ALU-F-thin', 'Fine aluminium, thin', { 'ALU-F': 25, 'BND-0': 75 }],
    ['ALU-F-blk-1', 'Fine aluminium, trace of black', { 'ALU-F': 45, 'BLK-1': 0.4, 'BND-0': 54.6 }],
    ['ALU-F-blk-2', 'Fine aluminium, some black', { 'ALU-F': 45, 'BLK-1': 1.6, 'BND-0': 53.4 }],
    ['ALU-F-blk-3', 'Fine aluminium, much black', { 'ALU-F': 45, 'BLK-1': 5, 'BND-0': 50 }],
    ['ALU-C-F', 'Coarse and fine aluminium, half and half', { 'ALU-C': 24, 'ALU-F': 24, 'BND-0': 52 }],
    ['ALU-C-M', 'Coarse and medium aluminium, half and half', { 'ALU-C': 24, 'ALU-M': 24, 'BND-0': 52 }],
  ]),
  ...ladder({ ...sprayedByMachine, drawn: '2026-09-03' }, 'White and flop control in aluminium.', [
    ['ALU-M-wht-1', 'Medium aluminium, little white', { 'ALU-M': 40, 'WHT-1': 1.6, 'BND-0': 58.4 }],
    ['ALU-M-wht-2', 'Medium aluminium, some white', { 'ALU-M': 40, 'WHT-1': 6, 'BND-0': 54 }],
    ['ALU-M-wht-3', 'Medium aluminium, much white', { 'ALU-M': 40, 'WHT-1': 18, 'BND-0': 42 }],
    ['ALU-F-wht-2', 'Fine aluminium, some white', { 'ALU-F': 36, 'WHT-1': 6, 'BND-0': 58 }],
    ['ALU-M-flp-1', 'Medium aluminium, flop control', { 'ALU-M': 40, 'FLP-0': 6, 'BND-0': 54 }],
    ['ALU-M-flp-2', 'Medium aluminium, much flop control', { 'ALU-M': 40, 'FLP-0': 18, 'BND-0': 42 }],
    ['ALU-C-flp-1', 'Coarse aluminium, flop control', { 'ALU-C': 40, 'FLP-0': 12, 'BND-0': 48 }],
  ]),
  ...ladder(
    { ...sprayedByMachine, drawn: '2026-09-07' },
    'Colours in the medium aluminium, two or three levels each.',
    [
      ['GRN-2-alu-1', 'Green, little, in aluminium', { 'GRN-2': 6, 'ALU-M': 38, 'BND-0': 56 }],
      ['GRN-2-alu-2', 'Green, some, in aluminium', { 'GRN-2': 18, 'ALU-M': 34, 'BND-0': 48 }],
      ['GRN-2-alu-3', 'Green, much, in aluminium', { 'GRN-2': 45, 'ALU-M': 20, 'BND-0': 35 }],
      ['GRN-2-alc', 'Green in coarse aluminium', { 'GRN-2': 30, 'ALU-C': 26, 'BND-0': 44 }],
      ['BLU-1-alu-1', 'Red-shade blue, little, in aluminium', { 'BLU-1': 6, 'ALU-M': 38, 'BND-0': 56 }],
      ['BLU-1-alu-2', 'Red-shade blue, some, in aluminium', { 'BLU-1': 18, 'ALU-M': 34, 'BND-0': 48 }],
      ['BLU-1-alu-3', 'Red-shade blue, much, in aluminium', { 'BLU-1': 40, 'ALU-M': 20, 'BND-0': 40 }],
      ['BLU-1-alc', 'Red-shade blue in coarse aluminium', { 'BLU-1': 28, 'ALU-C': 24, 'BND-0': 48 }],
      ['BLU-3-alu-1', 'Green-shade blue, little, in aluminium', { 'BLU-3': 6, 'ALU-M': 38, 'BND-0': 56 }],
      ['BLU-3-alu-2', 'Green-shade blue, more, in aluminium', { 'BLU-3': 26, 'ALU-M': 32, 'BND-0': 42 }],
      ['VIO-1-alu-1', 'Violet, little, in aluminium', { 'VIO-1': 4, 'ALU-M': 38, 'BND-0': 58 }],
      ['VIO-1-alu-2', 'Violet, more, in aluminium', { 'VIO-1': 18, 'ALU-M': 32, 'BND-0': 50 }],
    ],
  ),
  ...ladder({ ...sprayedByMachine, drawn: '2026-09-09', by: 'IM' }, 'The warm half of the same ladder.', [
    ['MAG-1-alu-1', 'Magenta, little, in aluminium', { 'MAG-1': 6, 'ALU-M': 38, 'BND-0': 56 }],
    ['MAG-1-alu-2', 'Magenta, more, in aluminium', { 'MAG-1': 26, 'ALU-M': 30, 'BND-0': 44 }],
    ['MAG-1-alc', 'Magenta in coarse aluminium', { 'MAG-1': 24, 'ALU-C': 20, 'BND-0': 56 }],
    ['RED-2-alu-1', 'Red, little, in aluminium', { 'RED-2': 7, 'ALU-M': 38, 'BND-0': 55 }],
    ['RED-2-alu-2', 'Red, more, in aluminium', { 'RED-2': 24, 'ALU-M': 30, 'BND-0': 46 }],
    ['RED-2-alu-3', 'Red, much, in fine aluminium', { 'RED-2': 44, 'ALU-F': 14, 'BND-0': 42 }],
    ['OXR-2-alu-1', 'Red oxide, little, in aluminium', { 'OXR-2': 6, 'ALU-M': 38, 'BND-0': 56 }],
    ['OXR-2-alu-2', 'Red oxide, more, in aluminium', { 'OXR-2': 26, 'ALU-M': 30, 'BND-0': 44 }],
    ['YEL-3-alu-1', 'Yellow, little, in aluminium', { 'YEL-3': 6, 'ALU-M': 38, 'BND-0': 56 }],
    ['YEL-3-alu-2', 'Yellow, more, in aluminium', { 'YEL-3': 24, 'ALU-M': 30, 'BND-0': 46 }],
    ['BLK-4-alu-1', 'Soft black, little, in aluminium', { 'BLK-4': 1.5, 'ALU-M': 42, 'BND-0': 56.5 }],
    ['BLK-4-alu-2', 'Soft black, more, in aluminium', { 'BLK-4': 7, 'ALU-M': 42, 'BND-0': 51 }],
  ]),
  ...ladder(
    { ...sprayedByMachine, drawn: '2026-09-14', film: 14 },
    'Pearls, over black and white, alone and with others.',
    [
      ['PRL-3-black', 'White pearl over black', { 'PRL-3': 45, 'BND-0': 55 }, { over: 'black' }],
      ['PRL-3-white', 'White pearl over white', { 'PRL-3': 20, 'BND-0': 80 }, { over: 'white' }],
      ['PRL-3-blk', 'White pearl with black', { 'PRL-3': 38, 'BLK-1': 1.2, 'BND-0': 60.8 }],
      ['PRL-3-alu', 'White pearl with aluminium', { 'PRL-3': 22, 'ALU-M': 22, 'BND-0': 56 }],
      ['PRL-3-wht', 'White pearl with white', { 'PRL-3': 28, 'WHT-1': 6, 'BND-0': 66 }],
      ['PRL-5-black', 'Blue pearl over black', { 'PRL-5': 45, 'BND-0': 55 }, { over: 'black' }],
      ['PRL-5-white', 'Blue pearl over white', { 'PRL-5': 20, 'BND-0': 80 }, { over: 'white' }],
      ['PRL-5-blk', 'Blue pearl with black', { 'PRL-5': 38, 'BLK-1': 1.2, 'BND-0': 60.8 }],
      ['PRL-5-alu', 'Blue pearl with aluminium', { 'PRL-5': 22, 'ALU-M': 22, 'BND-0': 56 }],
      ['PRL-5-blu', 'Blue pearl with blue', { 'PRL-5': 28, 'BLU-1': 8, 'BND-0': 64 }],
    ],
  ),
];

const drawnFlat = { by: 'IM', over: 'black', angles: 'flat' } as const;
const inWhite = (code: string, amount: number, white: number) => ({
  'WHT-1': white,
  [code]: amount,
  'BND-0': Math.round((100 - white - amount) * 100) / 100,
});

const traceAndDeep = (code: string, name: string): Step[] => [
  [`${code}-trace`, `${name}, a trace in white`, inWhite(code, 3, 50)],
  [`${code}-deep`, `${name}, deep, a little white`, inWhite(code, 34, 8)],
];

/** WB solids: what each colour does in white, and the sealer's steps. */
export const waterborneSolids: readonly DrawdownPlan[] = [
  ...ladder(
    { ...drawnFlat, drawn: '2026-09-15', film: 30 },
    'Waterborne colours in white, read flat. They settle K against S.',
    [
      ['WHT-1-full', 'Titanium white, full', { 'WHT-1': 90, 'BND-0': 10 }],
      ['WHT-1-thin-black', 'Titanium white, thin, over black', { 'WHT-1': 60, 'BND-0': 40 }, { film: 8 }],
      [
        'WHT-1-thin-white',
        'Titanium white, thin, over white',
        { 'WHT-1': 60, 'BND-0': 40 },
        { film: 8, over: 'white' },
      ],
      ['BLK-1-wht-1', 'Carbon black in white, little', inWhite('BLK-1', 0.5, 60)],
      ['BLK-1-wht-2', 'Carbon black in white, more', inWhite('BLK-1', 4, 50)],
      ['BLK-1-full', 'Carbon black, full', { 'BLK-1': 25, 'BND-0': 75 }],
      ['BLK-4-wht', 'Soft black in white', inWhite('BLK-4', 5, 55)],
      ['GRN-2-wht', 'Green in white', inWhite('GRN-2', 20, 45)],
      ['BLU-1-wht', 'Red-shade blue in white', inWhite('BLU-1', 16, 45)],
      ['BLU-3-wht', 'Green-shade blue in white', inWhite('BLU-3', 16, 45)],
      ['VIO-1-wht', 'Violet in white', inWhite('VIO-1', 12, 45)],
      ['MAG-1-wht', 'Magenta in white', inWhite('MAG-1', 18, 45)],
      ['RED-2-wht', 'Red in white', inWhite('RED-2', 20, 40)],
      ['OXR-2-wht', 'Red oxide in white', inWhite('OXR-2', 18, 40)],
      ['YEL-3-wht', 'Yellow in white', inWhite('YEL-3', 20, 40)],
      ['FLP-0-blk', 'Flop control with black', { 'FLP-0': 70, 'BLK-1': 1.5, 'BND-0': 28.5 }],
    ],
  ),
  ...ladder(
    { ...drawnFlat, drawn: '2026-09-15', film: 30 },
    'A trace in white, and a deep shade with a little white.',
    [
      ...traceAndDeep('BLK-4', 'Soft black'),
      ...traceAndDeep('GRN-2', 'Green'),
      ...traceAndDeep('BLU-1', 'Red-shade blue'),
      ...traceAndDeep('BLU-3', 'Green-shade blue'),
      ...traceAndDeep('VIO-1', 'Violet'),
      ...traceAndDeep('MAG-1', 'Magenta'),
      ...traceAndDeep('RED-2', 'Red'),
      ...traceAndDeep('OXR-2', 'Red oxide'),
      ...traceAndDeep('YEL-3', 'Yellow'),
      ['FLP-0-blu', 'Flop control with blue', { 'FLP-0': 60, 'BLU-1': 6, 'BND-0': 34 }],
      ['FLP-0-wht', 'Flop control and black in white', { 'WHT-1': 20, 'FLP-0': 40, 'BLK-1': 3, 'BND-0': 37 }],
    ],
  ),
  ...ladder(
    { ...drawnFlat, by: 'RO', drawn: '2026-09-17', film: 35 },
    'The sealer, step by step: these are the steps of undercoats.pour.',
    [
      ['SEAL-N9.5', 'Sealer N9.5', { 'SEAL-W': 100 }],
      ['SEAL-N8', 'Sealer N8', { 'SEAL-W': 97.3, 'SEAL-K': 2.7 }],
      ['SEAL-N6.5', 'Sealer N6.5', { 'SEAL-W': 88.6, 'SEAL-K': 11.4 }],
      ['SEAL-N5', 'Sealer N5', { 'SEAL-W': 71.5, 'SEAL-K': 28.5 }],
      ['SEAL-N3.5', 'Sealer N3.5', { 'SEAL-W': 39.5, 'SEAL-K': 60.5 }],
      ['SEAL-N2', 'Sealer N2', { 'SEAL-K': 100 }],
    ],
  ),
];

const inBinder = (code: string, amount: number) => ({ [code]: amount, 'S-BND': 100 - amount });
const three = (code: string, name: string, full: number, tint: number): Step[] => [
  [`${code}-full`, `${name}, full`, inBinder(code, full)],
  [`${code}-tint`, `${name} in white`, { 'S-WHT': 45, [code]: tint, 'S-BND': 55 - tint }],
  [`${code}-blk`, `${name} with black`, { [code]: full - 2, 'S-BLK': 1, 'S-BND': 101 - full }],
];

/** SB ladders: masstone, a tint in white and a blend with black of every colour. */
export const solidLadders: readonly DrawdownPlan[] = [
  ...ladder(
    { ...drawnFlat, drawn: '2026-09-01', film: 45 },
    'White and black, full and thin: the thin pair fixes the scale of the film.',
    [
      ['S-WHT-full', 'White, full', inBinder('S-WHT', 70)],
      ['S-WHT-thin-black', 'White, thin, over black', inBinder('S-WHT', 45), { film: 12 }],
      ['S-WHT-thin-white', 'White, thin, over white', inBinder('S-WHT', 45), { film: 12, over: 'white' }],
      ['S-BLK-full', 'Black, full', inBinder('S-BLK', 25)],
      ['S-BLK-wht-1', 'Black in white, trace', { 'S-WHT': 55, 'S-BLK': 0.3, 'S-BND': 44.7 }],
      ['S-BLK-wht-2', 'Black in white, light grey', { 'S-WHT': 48, 'S-BLK': 1.5, 'S-BND': 50.5 }],
      ['S-BLK-wht-3', 'Black in white, dark grey', { 'S-WHT': 25, 'S-BLK': 6, 'S-BND': 69 }],
    ],
  ),
  ...ladder({ ...drawnFlat, drawn: '2026-09-03', film: 45 }, 'Colours: full, in white, with black.', [
    ...three('S-YEL', 'Bright yellow', 55, 12),
    ...three('S-OCH', 'Ochre', 55, 12),
    ...three('S-ORG', 'Orange', 50, 12),
    ...three('S-RED', 'Bright red', 50, 12),
    ...three('S-OXR', 'Oxide red', 50, 12),
  ]),
  ...ladder(
    { ...drawnFlat, drawn: '2026-09-08', film: 45 },
    'The transparent ones never hide alone: the black blend tells their S.',
    [
      ...three('S-MAG', 'Magenta', 45, 8),
      ...three('S-BLU', 'Blue', 45, 6),
      ...three('S-GRN', 'Green', 45, 8),
      ['S-BLU-OCH', 'Blue and ochre', { 'S-BLU': 6, 'S-OCH': 30, 'S-WHT': 6, 'S-BND': 58 }],
      ['S-RED-YEL', 'Red and yellow', { 'S-RED': 20, 'S-YEL': 24, 'S-BND': 56 }],
      ['S-MAG-BLU', 'Magenta and blue in white', { 'S-WHT': 30, 'S-MAG': 6, 'S-BLU': 4, 'S-BND': 60 }],
    ],
  ),
];

/** The cards of the lessons: one of each formula, and one red film over three greys. */
export const lessonSprayouts: readonly SprayoutPlan[] = [
  { of: 'LESSON-1', sprayed: '2026-11-16', by: 'IM' },
  { of: 'LESSON-1/blue', sprayed: '2026-11-16', by: 'IM' },
  { of: 'LESSON-2', sprayed: '2026-11-12', by: 'IM' },
];

const trainingRed = { 'S-RED': 34, 'S-MAG': 4, 'S-WHT': 0.8, 'S-BND': 61.2 };

export const lessonDrawdowns: readonly DrawdownPlan[] = ladder(
  { drawn: '2026-11-12', by: 'IM', film: 20, angles: 'flat', over: 'SEAL grey N2' },
  'The same film of the training red over three greys: too thin to hide, on purpose.',
  [
    ['LESSON-red-dark', 'Training red, one coat over N2', trainingRed],
    ['LESSON-red-mid', 'Training red, one coat over N6.5', trainingRed, { over: 'SEAL grey N6.5' }],
    ['LESSON-red-light', 'Training red, one coat over N9.5', trainingRed, { over: 'SEAL grey N9.5' }],
  ],
);

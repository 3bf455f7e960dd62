/** A safety note. The program informs; a safety data sheet, local codes and licensed practice decide. */
export interface Caution {
  readonly id:
    | 'isocyanate'
    | 'ventilation'
    | 'fire'
    | 'waterborne'
    | 'voc'
    | 'prediction'
    | 'label'
    | 'waste'
    | 'authority';
  readonly text: string;
}

/** What is known about the work at hand. */
export interface Work {
  /** A hardener goes into the mix, or the system is one that may use one. */
  readonly hardener: boolean;
  readonly waterborne: boolean;
  /** A VOC figure is shown; the day its limits were gathered. */
  readonly vocAsOf?: string;
  /** Something predicted is shown: coats, a colour difference, a recovery. */
  readonly predicted?: boolean;
  /** The mix is kept beyond the work at hand. */
  readonly kept?: boolean;
}

/** The notes that belong beside a mix, the gravest first, the one on who decides always last. */
export function cautions(work: Work): Caution[] {
  return [
    ...(work.hardener ? [isocyanate] : []),
    ventilation,
    fire,
    ...(work.waterborne ? [waterborne] : []),
    ...(work.vocAsOf === undefined ? [] : [vocCaution(work.vocAsOf)]),
    ...(work.predicted ? [prediction] : []),
    ...(work.kept ? [label] : []),
    waste,
    authority,
  ];
}

const isocyanate: Caution = {
  id: 'isocyanate',
  text:
    'Hardeners contain isocyanates, in many waterborne systems too, and one exposure can begin a lifelong asthma. ' +
    'Spray only with supplied air that stays on until the booth has cleared, with gloves and covered skin; a filter mask is not enough. ' +
    'Only trained people, under health surveillance.',
};

const ventilation: Caution = {
  id: 'ventilation',
  text: 'Mix and spray under working extraction, and clean guns there as well. Wear gloves and eye protection. Keep lids on.',
};

const fire: Caution = {
  id: 'fire',
  text: 'Vapours catch fire: no flame, spark or hot surface near, containers bonded and earthed. Solvent rags go into a closed metal bin, they can heat themselves.',
};

const waterborne: Caution = {
  id: 'waterborne',
  text: 'Waterborne paint still holds organic solvent. Keep it from freezing, and keep its waste apart from solvent waste.',
};

function vocCaution(asOf: string): Caution {
  return {
    id: 'voc',
    text: `The VOC figure is arithmetic, not a clearance to spray. Limits shown as of ${asOf}; local rules may be stricter.`,
  };
}

const prediction: Caution = {
  id: 'prediction',
  text: 'Predicted figures are no promise: a spray-out card, dry and cleared, decides.',
};

const label: Caution = {
  id: 'label',
  text: 'Label every cup that is kept: what it is, when it was mixed, whether hardener is in it, use by, and its hazards by the data sheet.',
};

const waste: Caution = {
  id: 'waste',
  text: 'Nothing goes down a drain. Hardened, liquid, waterborne and rag waste are separate streams.',
};

const authority: Caution = {
  id: 'authority',
  text: 'The safety data sheets, local codes and licensed practice come before anything shown here.',
};

import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { answered, answerIds } from '../case-facts';
import { makeFlag } from '../make-flag';
import { tamponadeHolds } from './breathing';
import type { Signs } from './signs';
import { ACT_NOW_SOURCE, thresholds } from './thresholds';

/** Collapse, weak pulses or pale: the circulation comes first. Says whether an echo was begun. */
function collapse(facts: CaseFacts, signs: Signs): Flag[] {
  if (!signs.weakness) return [];
  const { views, measurements } = facts.input;
  return [
    makeFlag({
      rule: 'act-now.collapse',
      code: 'COLLAPSE_TREAT_CIRCULATION',
      level: 'act-now',
      urgency: 'emergency',
      data: {
        echoBegun: views.length > 0 || measurements.length > 0 || facts.answers.has('pericardial-fluid'),
        fluidSeen: signs.pericardialFluid,
      },
      observationIds: answerIds(facts, 'collapse', 'weak-pulses-or-pale'),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Dog under 15 kg with a known mitral murmur or a large left atrium, and fluid or clot not known before. */
function tornAtriumHolds(facts: CaseFacts, signs: Signs): boolean {
  const light = facts.kg !== null && facts.kg < thresholds.smallDogKgBelow;
  const heart = answered(facts, 'murmur-grade', '1', '2', '3', '4', '5', '6') !== null || signs.laLarge;
  const fluid = signs.pericardialFluid || answered(facts, 'clot-in-sac', 'yes') !== null;
  const old = answered(facts, 'pericardial-fluid-known-before', 'yes') !== null;
  return facts.species === 'dog' && light && heart && fluid && !old;
}

function dogFluid(facts: CaseFacts, signs: Signs): Flag[] {
  const flags: Flag[] = [];
  const torn = tornAtriumHolds(facts, signs);
  if (tamponadeHolds(facts, signs)) {
    flags.push(
      makeFlag({
        rule: 'act-now.tamponade',
        code: 'TAMPONADE_POSSIBLE',
        level: 'act-now',
        urgency: 'emergency',
        data: {
          wallCollapse: answered(facts, 'wall-collapse', 'yes') !== null,
          // These two change what to do with a needle; the words then leave out the advice to drain at once.
          tornAtriumPossible: torn,
          organSuspected: signs.organSuspected,
          bleedingPossible: answered(facts, 'bleeding-or-rodent-poison', 'yes') !== null,
        },
        observationIds: answerIds(
          facts,
          'pericardial-fluid',
          'wall-collapse',
          'collapse',
          'weak-pulses-or-pale',
        ),
        sources: [ACT_NOW_SOURCE],
      }),
    );
  }
  if (torn) {
    flags.push(
      makeFlag({
        rule: 'act-now.torn-atrium',
        code: 'TORN_ATRIUM_POSSIBLE',
        level: 'act-now',
        urgency: 'emergency',
        data: {
          weightKg: facts.kg,
          clot: answered(facts, 'clot-in-sac', 'yes') !== null,
          organSuspected: signs.organSuspected,
        },
        measurementIds: signs.laLarge ? (signs.laToAorta?.ids ?? []) : [],
        observationIds: answerIds(facts, 'pericardial-fluid', 'clot-in-sac', 'murmur-grade', 'la-by-eye'),
        sources: [
          {
            citation:
              'Nakamura RK, et al. 2008 (torn left atrium in small old dogs); weight threshold from memory',
            doi: null,
            status: 'memory',
          },
        ],
      }),
    );
  }
  return flags;
}

/** Cat: fluid round the heart is usually part of heart failure. Urgent; emergency with distress. */
function catFluid(facts: CaseFacts, signs: Signs): Flag[] {
  if (facts.species !== 'cat' || !signs.pericardialFluid) return [];
  const distressed = signs.distress || signs.weakness;
  return [
    makeFlag({
      rule: 'act-now.cat-fluid',
      code: 'CAT_PERICARDIAL_FLUID',
      level: 'act-now',
      urgency: distressed ? 'emergency' : 'urgent',
      data: { distressed, organSuspected: signs.organSuspected },
      observationIds: answerIds(facts, 'pericardial-fluid'),
      sources: [
        {
          citation:
            'Hall DJ, Shofer F, Meier CK, Sleeper MM. J Vet Intern Med 2007;21:1002 (failure in 75 % of 146 cats); advice: common practice',
          doi: null,
          status: 'common practice',
        },
      ],
    }),
  ];
}

function organInSac(facts: CaseFacts, signs: Signs): Flag[] {
  if (!signs.organSuspected) return [];
  return [
    makeFlag({
      rule: 'act-now.organ-in-sac',
      code: 'ORGAN_IN_SAC_NO_NEEDLE',
      level: 'act-now',
      urgency: 'urgent',
      data: {},
      observationIds: answerIds(facts, 'organ-in-sac'),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Cold painful limb or sudden paralysis: aortic thrombo-embolism possible. */
function embolism(facts: CaseFacts): Flag[] {
  const limb = answered(facts, 'cold-painful-limb', 'yes');
  const paralysis = answered(facts, 'sudden-paralysis', 'yes');
  if (!limb && !paralysis) return [];
  return [
    makeFlag({
      rule: 'act-now.embolism',
      code: 'THROMBOEMBOLISM_POSSIBLE',
      level: 'act-now',
      urgency: 'emergency',
      data: { limb: limb !== null, paralysis: paralysis !== null },
      observationIds: answerIds(facts, 'cold-painful-limb', 'sudden-paralysis'),
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

function clotInAtrium(facts: CaseFacts): Flag[] {
  const clot = answered(facts, 'la-clot', 'fixed', 'floating', 'smoke');
  if (!clot) return [];
  return [
    makeFlag({
      rule: 'act-now.clot',
      code: 'CLOT_OR_SMOKE_IN_ATRIUM',
      level: 'act-now',
      urgency: 'urgent',
      data: { kind: clot.value },
      observationIds: [clot.id],
      sources: [ACT_NOW_SOURCE],
    }),
  ];
}

/** Small thick ventricle whose cavity closes, in a dry or bled patient: look, not act. */
function volumeLack(facts: CaseFacts): Flag[] {
  const dry = answered(facts, 'dry-or-bled', 'yes') !== null || facts.input.state.hydration === 'dry';
  if (!dry || !answered(facts, 'cavity-closes', 'yes')) return [];
  return [
    makeFlag({
      rule: 'look.volume-lack',
      code: 'VOLUME_LACK_POSSIBLE',
      level: 'look',
      data: {},
      observationIds: answerIds(facts, 'dry-or-bled', 'cavity-closes'),
      sources: [
        {
          citation:
            'Campbell FE, Kittleson MD. The effect of hydration status on the echocardiographic measurements of normal cats. J Vet Intern Med 2007;21:1008-1015',
          doi: '10.1892/0891-6640(2007)21[1008:TEOHSO]2.0.CO;2',
          status: 'primary',
        },
      ],
    }),
  ];
}

/** Rules about collapse, fluid round the heart, clots and volume. */
export function circulationRules(facts: CaseFacts, signs: Signs): Flag[] {
  return [
    ...collapse(facts, signs),
    ...dogFluid(facts, signs),
    ...catFluid(facts, signs),
    ...organInSac(facts, signs),
    ...embolism(facts),
    ...clotInAtrium(facts),
    ...volumeLack(facts),
  ];
}

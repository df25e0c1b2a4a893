import type { SheetGroup } from '../circuit/sheet-line.js';
import type { Quantity } from '../circuit/units.js';
import type { RuleName } from '../faults/rules.js';
import type { CautionId } from '../trade/cautions.js';
import type { MistakeId } from '../trade/meter-mistakes.js';
import type { Source } from '../trade/source.js';

/** The nine stages, in the order in which a person meets them; what a step waits for is said by the step itself. */
export const stages = {
  sheet: 'Sheet',
  placement: 'Placement',
  opening: 'Opening and sealing',
  cable: 'Cable and strain relief',
  terminations: 'Terminations',
  order: 'Order of devices',
  dead: 'Dead tests',
  live: 'Live tests',
  handover: 'Handover',
} as const;
export type StageId = keyof typeof stages;

/** The step that stands for the issued record itself: done when a record that still stands was issued. */
export const issueStepId = 'issue-record';
export const stageIds = Object.keys(stages) as StageId[];

/** One thing that a step asks to be written down. `id` is unique in its step and permanent. */
export type Ask = { readonly id: string; readonly label: string; readonly optional?: true } & (
  | { readonly kind: 'tick' | 'note' | 'photo' }
  | ChoiceAsk
  | ValueAsk
  /** With `another`, who is not the one that writes the step, or the reason why there is nobody. */
  | { readonly kind: 'person'; readonly another?: true }
);

interface ChoiceAsk extends MadeAlike {
  readonly kind: 'choice';
  /** A refused option is offered, so that the truth can be told, and never accepted: `refused` says why. */
  readonly options: readonly {
    readonly value: string;
    readonly label: string;
    readonly refused?: string;
    /** Ids of what is answered beside it: the option says that it was. */
    readonly needs?: readonly string[];
  }[];
}

interface ValueAsk extends MadeAlike {
  readonly kind: 'value';
  readonly quantity: Quantity;
  /** The unit offered first in each system. */
  readonly units: { readonly metric: string; readonly imperial: string };
  /** Limits in SI, both inclusive. A value outside raises a defect; it is written down all the same. */
  readonly min?: number;
  readonly max?: number;
  /** What it should be, in SI, shown before it is measured. */
  readonly expected?: number;
  /** Why these limits, in words, with the figure's origin. */
  readonly limitSource: Source;
  readonly instrument?: 'torque-driver' | 'multimeter' | 'thermometer' | 'insulation-tester';
}

/** How something was made may be filled in from another outlet; what was looked at, tugged or measured never is. */
interface MadeAlike {
  readonly alike?: true;
}

/** A piece of the van that a step concerns, as the drawing names it (`feed:<outletId>`, `outlet:<outletId>`, `bond` …). */
type Part = string;

/** A step as the circuit calls for it. Its `id` is permanent: built on the outlet's identity, never on its number. */
export interface Step {
  readonly id: string;
  /** Printed number, for instance "T5": its place today. */
  readonly number: string;
  readonly stage: StageId;
  readonly title: string;
  readonly outlet?: string;
  /** What to do, one act a sentence. */
  readonly do: readonly string[];
  readonly why: string;
  readonly rightWhen: readonly string[];
  readonly cautions: readonly CautionId[];
  readonly sources: readonly Source[];
  readonly asks: readonly Ask[];
  /** Steps that must be done before this one. */
  readonly waitsFor: readonly string[];
  /** What this step bars until it is passed, in words; absent where it bars nothing but what waits for it. */
  readonly hold?: string;
  readonly concession: 'never' | 'named-person';
  /** Done only where its condition holds ("tester on hand"); it may be left with a reason and bars nothing. */
  readonly conditional?: string;
  /** Planned readings that are taken at this step, by id. */
  readonly readings: readonly string[];
  readonly parts: readonly Part[];
  /**
   * What of the circuit this step was generated from, each with its label and value: when one of these changes after the
   * step was done, the step is open again, and the label says why.
   */
  readonly basis: Readonly<Record<string, string>>;
  /** Its readings prove hand work of its own as well: none of them is taken ahead of it. */
  readonly provesOwnWork?: true;
  /** The groups of the sheet whose lines must be met before this step is done. */
  readonly sheetLines?: readonly SheetGroup[];
}

/** What a reading proves: a rule of the fault-finder, or one that only a job asks. */
type Rule = RuleName | 'supply' | 'absence-of-voltage' | 'other-source' | 'continuity';

/** By which law a reading is judged beside others, which are named by their ids. */
type JudgedBeside =
  /** Volts of one supply, without load: looked at again where they are more than `look` V from their match. */
  | { readonly law: 'one-supply'; readonly match: string; readonly supply: string; readonly look: number }
  /** Volts under load, beside the same slot's without and, where both were read, the supply's. */
  | {
      readonly law: 'no-load';
      readonly slot: string;
      readonly loadedSupply: string;
      readonly supply: string;
    }
  /** Neutral to ground under load, beside the same slots without and, where both were read, the supply's. */
  | {
      readonly law: 'neutral-drop';
      readonly slot: string;
      readonly loadedSupply: string;
      readonly supply: string;
    }
  /** A reading taken again, beside what it was before. */
  | { readonly law: 'as-before'; readonly before: string };

/** A reading that this circuit calls for. `id` is permanent: points are named with outlet identities. */
export interface PlannedReading {
  readonly id: string;
  /** Printed code: "G2". */
  readonly code: string;
  readonly step: string;
  readonly stage: 'dead' | 'live' | 'handover';
  readonly title: string;
  readonly test: 'resistance' | 'voltage' | 'loaded-voltage' | 'observation';
  /** Points of the readings language with today's numbers (`outlet2.neutral`), where the test has them. */
  readonly from?: string;
  readonly to?: string;
  /** For an observation: what is asked, in the readings language, and the question in words. */
  readonly what?:
    | 'supply-holds'
    | 'gfci-resets'
    | 'dead-when-tripped'
    | 'holds-under-load'
    | 'cord-plug-fits'
    | 'no-glow'
    | 'three-lamp';
  readonly question?: string;
  /** For a loaded voltage: the current of the test load, A. */
  readonly amps?: number;
  /** For hot to neutral under load: the most that may be on together, A. */
  readonly fullAmps?: number;
  readonly outlet?: string;
  /** What the sound circuit should show, and in words ("0.04 Ω", "OL", "120 V", "yes"). */
  readonly expected: { readonly value: number | null | boolean; readonly text: string };
  /** Ω or V; absent where nothing is judged by number. For an observation the answer that passes. */
  readonly limit:
    | {
        readonly upper?: number;
        readonly lower?: number;
        readonly answer?: boolean;
        readonly text: string;
        /** It is for the planned test load, and for another one in proportion. */
        readonly growsWithLoad?: true;
      }
    | undefined;
  /** What to do at once where it fails, before anyone thinks of a mend; absent where nothing hangs on the minute. */
  readonly whenFails?: string;
  /** Above `over`, and under `under`, where there is one, it is looked at again, without being a verdict. */
  readonly look?: {
    readonly over?: number;
    readonly under?: number;
    readonly text: string;
    /** The text begins with the figure of `over` itself; a page that says it beforehand puts it before the others. */
    readonly namesFigure?: true;
  };
  readonly rule: Rule;
  readonly source: Source;
  readonly required: boolean;
  /** The others that it is judged beside, once it has been judged alone; absent where it stands alone. */
  readonly beside?: JudgedBeside;
  /** No concession covers a fail or a missing proof here. */
  readonly concession: 'never' | 'named-person';
  readonly instrument: 'ohms' | 'volts' | undefined;
  readonly lowImpedance: 'never' | 'allowed' | 'asked';
  readonly cautions: readonly CautionId[];
  /** How the meter may mislead at this reading. */
  readonly mistakes: readonly MistakeId[];
  readonly parts: readonly Part[];
  readonly basis: Readonly<Record<string, string>>;
  /** What a mend must disturb for this reading to be taken again. */
  readonly disturbedBy: readonly string[];
}

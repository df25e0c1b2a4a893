import type { UnitSystem } from '../../circuit/units.js';
import type { Signature } from '../../logbook/signature.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import type { WrittenElsewhere } from '../../logbook/written-elsewhere.js';

/** An instrument as the shop keeps it, for values that name it by its id. */
export interface NamedInstrument {
  readonly id: string;
  readonly name: string;
  readonly kind?: string | undefined;
  readonly serial: string;
  readonly calibrated: string;
}

/** A key that a shop no longer signs with. */
export interface FormerKey {
  readonly fingerprint: string;
  readonly from: string;
  readonly until: string;
}

/** What a record needs beside the assessment of its job. */
export interface RecordInput {
  readonly job: string;
  readonly shop: string;
  /** How owners reach the shop; said on page one where it is not empty. */
  readonly reach?: string | undefined;
  readonly revision: number;
  /** UTC, ISO 8601, to the second: "2026-03-04T10:00:00Z". */
  readonly issuedAt: string;
  readonly issuedBy: string;
  /** No second person looked. Said on page one. */
  readonly worksAlone: boolean;
  /** Why there is a further revision. */
  readonly reason?: string | undefined;
  /** The issuer's, given at the issue. */
  readonly signature: Signature;
  readonly fingerprint: string;
  readonly rootFingerprint: string;
  /** The version of the rules that judge the job now: those of its circuit's day may be older ones. */
  readonly rules: string;
  /** Signed with a key that nobody keeps. Said on page one. */
  readonly keyForOccasion?: boolean;
  /** The keys that the shop signed with before this one, the first one first; days as "2026-03-04". */
  readonly formerKeys?: readonly FormerKey[] | undefined;
  /** What was written by people of another shop, whose logbook was taken over. Said on page one. */
  readonly elsewhere?: WrittenElsewhere | undefined;
  readonly units: UnitSystem;
  /** What its times are told in. */
  readonly zone: TimeZone;
  readonly instruments?: readonly NamedInstrument[];
}

/**
 * spinledger as a library: all that the command line does, from TypeScript.
 *
 *     import { loadCase, runCase, summariseLoaded } from 'spinledger';
 *
 *     const loaded = await loadCase({
 *       car: 'car.json', store: 'store.json', strategy: 'coast', cycle: 'wltc-class3b',
 *     });
 *     const summary = summariseLoaded(loaded, runCase(loaded.subject));
 *     console.log(summary.saving.vs_stop_start_pct);
 *
 * Every quantity is SI inside: m, s, kg, N, W, J, rad/s, Pa, K. Only files, logs and the summary
 * carry other units, and name them.
 */

// Errors: InputError for what the caller gave (as data), DefectError for what is wrong in here.

export { DefectError, InputError, type Problem } from './config/problem.ts';
export { problemsText } from './output/problems.ts';

// Loading files.

export { caseHash, type InputHashes, inputHash } from './config/hash.ts';
export {
  type CasePaths,
  type Loaded,
  type LoadedCase,
  type LoadedCycle,
  loadCar,
  loadCase,
  loadCycle,
  loadStore,
  loadStrategy,
  type NamedStrategy,
} from './config/load.ts';
export {
  type DriveOptions,
  type DriveReport,
  driveFrom,
  type LoadedDrive,
  loadDrive,
  type OddPart,
  type SmoothedRoad,
} from './config/load-drive.ts';

// Traces: reading them, making them of samples, putting them together.

export { isClosed, speedChange } from './cycle/closed.ts';
export { cut, join, repeat, scaleSpeed, stretchTime } from './cycle/compose.ts';
export {
  type Composition,
  type CompositionPart,
  compose,
  parseComposition,
} from './cycle/composition.ts';
export { type BuiltInCycle, builtInCycles } from './cycle/library.ts';
export { type CycleSource, type Pieces, parseCycle, readCycle } from './cycle/read.ts';
export { type Resampled, resample } from './cycle/resample.ts';
export type { RoadSamples } from './cycle/road.ts';
export { type Samples, traceFromSamples } from './cycle/samples.ts';
export {
  altitudeChange,
  distance,
  duration,
  intervalCount,
  maxSpeed,
  meanSpeed,
  refine,
  type Trace,
} from './cycle/trace.ts';

// Logged drives: reading, cleaning, the road under them, their trips.

export { type CleanedDrive, clean } from './cycle/clean.ts';
export {
  CHANGE_KINDS,
  type ChangeKind,
  type Changes,
  type CleaningReport,
  type DriveFigures,
} from './cycle/clean-report.ts';
export { type CleaningRules, DEFAULT_RULES, NO_CLEANING } from './cycle/clean-rules.ts';
export type { Drive } from './cycle/drive.ts';
export {
  type AltitudeGain,
  cumulativeGain,
  type SmoothedAltitude,
  smoothAltitude,
} from './cycle/grade.ts';
export type { Motion, Range } from './cycle/motion.ts';
export {
  type LoggedDrive,
  parseDrive,
  type ReadOptions,
  type ReadReport,
  readDrive,
} from './cycle/read.ts';
export { SMOOTHING_METHODS, type SmoothingMethod, smooth } from './cycle/smooth.ts';
export { type MicroTrip, microTrips, samplesOf, splitTrips } from './cycle/trips.ts';
export { cleaningLine } from './output/cleaning-words.ts';

// What kind of driving a cycle is, and what it asks of the wheels.

export {
  type CycleEnergy,
  type CycleLoad,
  cycleEnergy,
  REFERENCE_LOAD,
} from './cycle/cycle-energy.ts';
export { type CycleStatistics, cycleStatistics } from './cycle/statistics.ts';
export { type TripDynamics, tripDynamics } from './cycle/trip-dynamics.ts';
export {
  type IdealStore,
  idealStoreShare,
  type TraceEnergy,
  traceEnergy,
} from './simulate/trace-energy.ts';

// Running: a whole case, or its parts for a loop of one's own.

export { BALANCE_LIMIT, type Balance, type BalancedRun, runBalanced } from './simulate/balance.ts';
export { type Car, fitStore, type SprintTraits } from './simulate/car.ts';
export {
  type Case,
  type CaseResult,
  type ReferenceRun,
  type References,
  replay,
  runCase,
  runReferences,
} from './simulate/case.ts';
export { Demand } from './simulate/demand.ts';
export { CLOSURE_LIMIT, Ledger } from './simulate/ledger.ts';
export { MODEL_VERSION } from './simulate/model-version.ts';
export { type Run, run } from './simulate/run.ts';
export { initialState, type State } from './simulate/state.ts';
export type { Step } from './simulate/step.ts';
export { debtFuel, marginalFuel, totalFuel } from './simulate/total-fuel.ts';
export { type FoundNumber, type FoundNumbers, runTuned, type TunedRun } from './simulate/tuned.ts';
export {
  PARTS,
  type Part,
  type PartialRun,
  runWaterfall,
  type WaterfallStep,
} from './simulate/waterfall.ts';

// Full load: what a store does for acceleration.

export { ENGINE_LIMITS, type EngineLimitName } from './simulate/engine-limit.ts';
export {
  type FillName,
  SPRINT_STEP,
  type SprintConditions,
  type SprintFigures,
  type SprintLabel,
  type SprintResult,
  type StoreFigures,
  sprint,
  startPassing,
} from './simulate/sprint.ts';
export {
  FullLoadDrive,
  type SprintDrive,
  type SprintRoad,
  type SprintStart,
  type SprintWatch,
} from './simulate/sprint-drive.ts';
export type { Passing, SprintGoal } from './simulate/sprint-goals.ts';
export { type PeakGain, peakGain, steepestGrade } from './simulate/sprint-limits.ts';
export { driveOnStore, recharge, type SteadyDrive } from './simulate/sprint-steady.ts';

// Searching: the best of some numbers, for a loop of one's own.

export type { Found } from './optimum/differential-evolution.ts';
export type { Evaluate, Evaluated, Merit, Point } from './optimum/merit.ts';
export { type OptimiseOptions, optimise } from './optimum/optimise.ts';

// Strategies: the contract for one's own, and the behaviours to combine.

export type { AssistParameters } from './strategy/assist.ts';
export type { CoastParameters } from './strategy/coast.ts';
export { type Behaviours, combine } from './strategy/combine.ts';
export type {
  Behaviour,
  NumberSearch,
  Outcome,
  SearchedNumber,
  Strategy,
  StrategyMaker,
  View,
  Want,
} from './strategy/contract.ts';
export type { KeepOffParameters } from './strategy/keep-off.ts';
export { type LeastCostParameters, leastCost } from './strategy/least-cost.ts';
export type { RecoverParameters } from './strategy/recover.ts';
export type { ReserveParameters } from './strategy/reserve.ts';
export type { StopStartParameters } from './strategy/stop-start.ts';

// Fits to measurements: pure functions of columns in SI.

export {
  type Coastdown,
  type CoastPair,
  type CoastRun,
  fitCoastdown,
  forceAt,
  type PairFit,
  type RollingMass,
} from './fit/coastdown.ts';
export {
  type Corrected,
  REFERENCES,
  type ReferenceName,
  toReference,
  type Weather,
} from './fit/coastdown-reference.ts';
export {
  type AgreementOptions,
  agreement,
  type ChannelAgreement,
  type DriveAgreement,
  type EngineAgreement,
  type Stretch as DriveStretch,
} from './fit/drive-agreement.ts';
export {
  type DriveEstimate,
  type DriveParameter,
  type DriveStart,
  estimateDrive,
  type Simulate,
} from './fit/drive-estimate.ts';
export type { DriveLog } from './fit/drive-log.ts';
export { DriveSeries } from './fit/drive-series.ts';
export { type AffineEngine, fitEngine } from './fit/engine.ts';
export type { EnginePoints } from './fit/engine-points.ts';
export { CONFIDENCE, covers, type Estimate } from './fit/intervals.ts';
export { NoFit } from './fit/least-squares.ts';
export { type Slowing, speedAfter, timeBetween } from './fit/slowing.ts';
export {
  type Coefficient,
  fitSpindown,
  type LawFit,
  type LawName,
  type Spindown,
  type SpinRun,
} from './fit/spindown.ts';
export { type TimeShift, timeShift } from './fit/time-shift.ts';

// The least fuel of a case, and where a strategy loses against it.

export { ACTIONS, type Action, actionOf } from './optimum/actions.ts';
export { type Bound, findBound, REFINEMENT_LIMIT } from './optimum/bound.ts';
export { boundAlone, boundOfCase } from './optimum/bound-case.ts';
export type { BoundedSummary, BoundSummary, StretchSummary } from './optimum/bound-summary.ts';
export { lossesAlong, type Stretch } from './optimum/losses.ts';
export { Plan, replayOf } from './optimum/replay.ts';
export { boundCsv, boundMarkdown, boundTable } from './output/bound-text.ts';

// Results, and the forms they are printed in.

export { CAUTIONS } from './output/cautions.ts';
export { summaryCsv } from './output/csv.ts';
export { type PlainNotes, writePlain } from './output/cycle-plain.ts';
export { type CycleSheet, cycleSheet, type StoreSize } from './output/cycle-sheet.ts';
export { jsonText } from './output/json.ts';
export { LOG_COLUMNS, writeLog } from './output/log-csv.ts';
export { summaryMarkdown } from './output/markdown.ts';
export { type Paint, plainPaint } from './output/paint.ts';
export { rotorCsv, spinDownCsv, windageCsv } from './output/rotor-csv.ts';
export { rotorMarkdown, rotorTable } from './output/rotor-text.ts';
export { sprintCsv } from './output/sprint-csv.ts';
export { sprintMarkdown, sprintTable } from './output/sprint-text.ts';
export { SPRINT_TRACE_COLUMNS, writeSprintTrace } from './output/sprint-trace.ts';
export { summaryTable } from './output/table.ts';
export type { BalanceSummary } from './summary/balance-summary.ts';
export type { NodeLines, NodeName } from './summary/ledger-lines.ts';
export { summariseLoaded } from './summary/loaded-summary.ts';
export {
  ROTOR_CAUTION,
  type RotorConditions,
  type RotorSubject,
  type RotorSummary,
  summariseRotor,
} from './summary/rotor-summary.ts';
export type { ShortfallSummary } from './summary/shortfall-summary.ts';
export { type SprintSheet, type SprintSummary, summariseSprint } from './summary/sprint-summary.ts';
export {
  type ByLimit,
  type CaseNames,
  type Counts,
  type FuelLedger,
  type LedgerSummary,
  type ReferenceSummary,
  SCHEMA_VERSION,
  type SearchSummary,
  type Summary,
  type SummarySource,
  summarise,
  type WheelLedger,
} from './summary/summary.ts';
export { tool } from './summary/tool.ts';
export type { PartialSummary, StepSummary } from './summary/waterfall.ts';

// Comparing two results, and gates that are held against them.

export type { Gate, GatesFile } from './config/gates-file.ts';
export { type LoadedGates, loadGates } from './config/load-gates.ts';
export { compareCsv } from './output/compare-csv.ts';
export { gatesJunit, missedGateLines } from './output/compare-gates.ts';
export { compareJson } from './output/compare-json.ts';
export { compareMarkdown } from './output/compare-markdown.ts';
export { compareTable } from './output/compare-table.ts';
export {
  type Comparison,
  compare,
  groupChange,
  type MeanGroup,
  readCompared,
} from './study/comparison.ts';
export { type FigureChange, fuelChange, pairChanges } from './study/difference.ts';
export type { GateValue } from './study/gate-values.ts';
export type { GateResult } from './study/gates.ts';
export { type LedgerChange, type LineChange, ledgerChange } from './study/ledger-change.ts';
export type { Matching, OneSided, Pair } from './study/match.ts';
export type { Result } from './study/results.ts';
export type { CycleShares } from './study/shares.ts';

// Physics that makes sense by itself.

export { airDensity, GRAVITY, standardAtmosphere } from './physics/air.ts';
export { type AxleName, type Axles, axleLoad, singleAxleBrakingLimit } from './physics/axle.ts';
export { Curve, Table, UniformCurve } from './physics/curve.ts';
export type { Electrics } from './physics/electrics.ts';
export {
  type Engine,
  EngineMap,
  type FuelUse,
  frictionPower,
  fuelPower,
  meanPressurePower,
  type Restart,
  type WarmUp,
  warmUpFactor,
} from './physics/engine.ts';
export { carbonDioxide, FUELS, type Fuel, litres } from './physics/fuel.ts';
export {
  type DrivenAxle,
  fullLoadPull,
  newPull,
  type Pull,
  tractionLimit,
} from './physics/full-load.ts';
export type { Gearbox, GearChoice, LaunchDevice } from './physics/gearbox.ts';
export { LIMIT, LIMITS, type LimitName } from './physics/limit.ts';
export { type RoadLoad, roadLoadForce } from './physics/road-load.ts';
export {
  dragTorque,
  type Rotor,
  type RotorDrag,
  type RotorMotion,
  rotorEnergy,
  rotorSpeed,
  turnByPower,
  turnByTorque,
} from './physics/rotor.ts';
export {
  gyroscopicTorque,
  inertiaFactor,
  ROTOR_MATERIALS,
  type RotorMaterial,
  type RotorStress,
  rotorStress,
  type StressShape,
  shapeFactor,
} from './physics/rotor-stress.ts';
export { type SpinDown, spinDown } from './physics/spin-down.ts';
export { type Store, usableEnergy } from './physics/store.ts';
export type { Transmission, TransmissionLosses } from './physics/transmission.ts';
export { type Chamber, type RotorShape, type Windage, windage } from './physics/windage.ts';

import fc from 'fast-check';
import {
  NOT_CLASSIFIED,
  type Adjustment,
  type Condition,
  type Conjunction,
  type CutPoint,
  type DecisionTable,
  type FactAnswer,
  type FactDefinition,
  type Facts,
  type FactVocabulary,
  type HitPolicy,
  type Level,
  type Rule,
  type TableInput,
} from '#domain';

/** A small table with its vocabulary: small enough to be walked combination by combination. */
export interface Specimen {
  readonly table: DecisionTable;
  readonly vocabulary: FactVocabulary;
}

interface AnyInput {
  readonly definition: FactDefinition;
  readonly input: TableInput;
}

const CUTS: readonly CutPoint[] = [
  { at: '0.9144', operator: '>=' },
  { at: '1', operator: '>=' },
  { at: '1', operator: '>' },
  { at: '15', operator: '>' },
];

function anyInput(fact: string): fc.Arbitrary<AnyInput> {
  return fc.oneof(
    fc.constant<AnyInput>({ definition: { kind: 'yesNo' }, input: { fact } }),
    fc.constant<AnyInput>({ definition: { kind: 'choice', values: ['p', 'q', 'r'] }, input: { fact } }),
    fc.subarray([...CUTS], { minLength: 1, maxLength: 3 }).map((cuts): AnyInput => ({
      definition: { kind: 'quantity', unit: 'm', min: '0', max: '60' },
      input: { fact, cuts },
    })),
  );
}

function anyCondition({ definition, input: { cuts = [] } }: AnyInput): fc.Arbitrary<Condition> {
  switch (definition.kind) {
    case 'yesNo':
      return fc.constantFrom<Condition>('yes', 'no', { not: 'no' }, { not: 'yes' });
    case 'choice':
      return fc.oneof(
        fc.constantFrom(...definition.values),
        fc.subarray([...definition.values], { minLength: 1, maxLength: 2 }),
        fc.constantFrom(...definition.values).map((value) => ({ not: value })),
      );
    case 'quantity':
      return fc.constantFrom(...cuts).chain(({ at, operator }) => {
        const below = operator === '>=' ? '<' : '<=';
        const beyond = cuts.filter((cut) => Number(cut.at) > Number(at)).map((cut) => cut);
        return fc.constantFrom<Condition>(
          { [operator]: at },
          { [below]: at },
          ...beyond.map((cut) => ({ [operator]: at, [cut.operator === '>=' ? '<' : '<=']: cut.at })),
        );
      });
  }
}

function anyConjunction(inputs: readonly AnyInput[], least: number, most: number): fc.Arbitrary<Conjunction> {
  return fc
    .subarray([...inputs], { minLength: Math.min(least, inputs.length), maxLength: Math.min(most, inputs.length) })
    .chain((named) =>
      fc
        .tuple(...named.map(anyCondition))
        .map((conditions) => Object.fromEntries(named.map(({ input }, i) => [input.fact, conditions[i] as Condition]))),
    );
}

function anyWhen(inputs: readonly AnyInput[], most: number): fc.Arbitrary<Conjunction | Conjunction[]> {
  return fc.oneof(
    { weight: 3, arbitrary: anyConjunction(inputs, 0, most) },
    { weight: 1, arbitrary: fc.array(anyConjunction(inputs, 1, most), { minLength: 1, maxLength: 3 }) },
  );
}

const source = { body: 'Nobody', title: 'Invented for a test', year: '2020' };
const grades = ['read', 'second-hand', 'derived', 'remembered'] as const;

function anyRule(inputs: readonly AnyInput[], id: string, categories: readonly string[]): fc.Arbitrary<Rule> {
  return fc.record({
    id: fc.constant(id),
    when: anyWhen(inputs, 3),
    then: fc.record({
      category: fc.constantFrom(...categories, NOT_CLASSIFIED),
      actions: fc.constantFrom([], [], ['wash']),
    }),
    words: fc.constant(`Rule ${id} holds.`),
    grade: fc.constantFrom(...grades),
    sources: fc.constant([{ ...source, section: id }]),
  });
}

function anyAdjustment(inputs: readonly AnyInput[], id: string, rules: readonly Rule[]): fc.Arbitrary<Adjustment[]> {
  const raisable = rules.filter(({ then }) => then.category !== NOT_CLASSIFIED).map((rule) => rule.id);
  if (raisable.length === 0) return fc.constant([]);
  return fc
    .record({
      id: fc.constant(id),
      appliesTo: fc.subarray(raisable, { minLength: 1 }),
      when: anyWhen(inputs, 2),
      raise: fc.constantFrom<1 | 2>(1, 2),
      words: fc.constant(`Adjustment ${id} raises.`),
      grade: fc.constantFrom(...grades),
      sources: fc.constant([{ ...source, section: id }]),
    })
    .map((adjustment) => [adjustment]);
}

/** Any well-formed small table: every kind of input and condition, all hit policies, adjustments and impossibles. */
export function anySpecimen(most = { inputs: 5, rules: 6, impossible: 3 }): fc.Arbitrary<Specimen> {
  return fc
    .integer({ min: 2, max: most.inputs })
    .chain((count) => fc.tuple(...Array.from({ length: count }, (_, i) => anyInput('abcdefgh'.charAt(i)))))
    .chain((inputs) =>
      fc
        .subarray<Level>([0, 1, 2, 3], { minLength: 2, maxLength: 4 })
        .map((levels) => levels.map((level) => ({ id: `c${level}`, words: `Category ${level}`, level, actions: [] })))
        .chain((categories) => {
          const ids = categories.map(({ id }) => id);
          return fc
            .integer({ min: 1, max: most.rules })
            .chain((count) => fc.tuple(...Array.from({ length: count }, (_, i) => anyRule(inputs, `R${i}`, ids))))
            .chain((rules) =>
              fc.record({
                inputs: fc.constant(inputs),
                categories: fc.constant(categories),
                rules: fc.constant(rules),
                hitPolicy: fc.constantFrom<HitPolicy>('unique', 'first', 'priority'),
                adjustments: fc
                  .tuple(...Array.from({ length: 2 }, (_, i) => anyAdjustment(inputs, `A${i}`, rules)))
                  .chain((all) => fc.subarray(all.flat())),
                adjustmentsAdd: fc.boolean(),
                impossible: fc.array(
                  anyConjunction(inputs, 1, 3).map((when) => ({ when, why: 'it was invented so.' })),
                  { maxLength: most.impossible },
                ),
              }),
            );
        }),
    )
    .map(({ inputs, ...rest }) => ({
      vocabulary: {
        version: 'test/v1',
        facts: Object.fromEntries(inputs.map(({ input, definition }) => [input.fact, definition])),
      },
      table: {
        id: 'specimen',
        version: '1',
        authority: 'Nobody',
        title: 'A specimen',
        validFrom: '2020-01-01',
        vocabulary: 'test/v1',
        inputs: inputs.map(({ input }) => input),
        actions: { wash: { words: 'Wash.', grade: 'read', sources: [source] } },
        cautions: [],
        ...rest,
      },
    }));
}

/** Any facts for a specimen: known, unknown in each of its spellings, ranges of quantities. */
export function anyFacts({ vocabulary }: Specimen, unknownWeight = 3): fc.Arbitrary<Facts> {
  const facts = Object.entries(vocabulary.facts);
  const number = fc.constantFrom<string | number>(0, '0.5', 0.9144, '0.91439', 1, '1.0', 1.001, 15, '15.2', 60);
  const answers = facts.map(([, definition]): fc.Arbitrary<FactAnswer> => {
    const unknown = fc.constantFrom<FactAnswer>(undefined, null, 'unknown');
    const known: fc.Arbitrary<FactAnswer> =
      definition.kind === 'quantity'
        ? fc.oneof(
            number,
            fc
              .tuple(number, number)
              .map(([a, b]) => (Number(a) <= Number(b) ? { min: a, max: b } : { min: b, max: a })),
            number.map((min) => ({ min })),
          )
        : fc.constantFrom(...(definition.kind === 'yesNo' ? ['yes', 'no'] : definition.values));
    return fc.oneof({ weight: unknownWeight, arbitrary: unknown }, { weight: 4, arbitrary: known });
  });
  return fc.tuple(...answers).map((values) => Object.fromEntries(facts.map(([fact], i) => [fact, values[i]])));
}

/** Any specimen with facts for it. */
export function anyCase(unknownWeight = 3): fc.Arbitrary<Specimen & { readonly facts: Facts }> {
  return anySpecimen().chain((specimen) => anyFacts(specimen, unknownWeight).map((facts) => ({ ...specimen, facts })));
}

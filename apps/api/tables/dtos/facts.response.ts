import type { FactDefinition } from '#domain';
import { MapField, WordsField } from '../../edge/fields.js';

/** For the document: what a fact takes. */
export const FACT_SCHEMA = {
  oneOf: [
    { type: 'object', properties: { kind: { type: 'string', enum: ['yesNo'] } }, required: ['kind'] },
    {
      type: 'object',
      properties: {
        kind: { type: 'string', enum: ['choice'] },
        values: { type: 'array', items: { type: 'string' } },
      },
      required: ['kind', 'values'],
    },
    {
      type: 'object',
      properties: {
        kind: { type: 'string', enum: ['quantity'] },
        unit: { type: 'string' },
        min: { type: 'string' },
        max: { type: 'string' },
      },
      required: ['kind', 'unit', 'min', 'max'],
    },
  ],
};

/** For the document: how a fact is asked. */
export const QUESTION_SCHEMA = {
  type: 'object',
  properties: {
    name: { type: 'string' },
    question: { type: 'string' },
    help: { type: 'string' },
    values: { type: 'object', additionalProperties: { type: 'string' } },
  },
  required: ['name', 'question', 'help'],
};

export class VocabularyResponse {
  @WordsField()
  readonly version!: string;

  @MapField(FACT_SCHEMA)
  readonly facts!: Readonly<Record<string, FactDefinition>>;
}

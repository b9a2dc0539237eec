import type { ReactNode } from 'react';
import { FieldError } from 'react-aria-components/FieldError';
import { Input } from 'react-aria-components/Input';
import { Label } from 'react-aria-components/Label';
import { Radio, RadioGroup } from 'react-aria-components/RadioGroup';
import { Checkbox } from 'react-aria-components/Checkbox';
import { CheckboxGroup } from 'react-aria-components/CheckboxGroup';
import { Text } from 'react-aria-components/Text';
import { TextArea } from 'react-aria-components/TextArea';
import { TextField } from 'react-aria-components/TextField';

interface FieldProps {
  label: string;
  help?: ReactNode;
  /** Why the entry was refused, shown next to it. */
  fault?: string;
}

/** A labelled field; what is wrong with it stands under it. */
export function TextEntry({
  label,
  help,
  fault,
  value,
  onChange,
  type = 'text',
  inputMode,
  autoComplete = 'off',
  isRequired = false,
  isLong = false,
  name,
}: FieldProps & {
  value: string;
  onChange: (value: string) => void;
  type?: 'text' | 'password' | 'date' | 'time' | 'tel' | 'email';
  inputMode?: 'text' | 'decimal' | 'numeric' | 'tel';
  autoComplete?: string;
  isRequired?: boolean;
  isLong?: boolean;
  name?: string;
}) {
  return (
    <TextField
      className="field"
      value={value}
      onChange={onChange}
      type={type}
      name={name}
      isRequired={isRequired}
      isInvalid={fault !== undefined}
      validationBehavior="aria"
      autoComplete={autoComplete}
    >
      <Label>{label}</Label>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      {isLong ? <TextArea rows={4} /> : <Input inputMode={inputMode} />}
      <FieldError className="field-fault">{fault}</FieldError>
    </TextField>
  );
}

/** One of a few, all in sight; nothing is chosen beforehand unless the page says so. */
export function Choice<Value extends string>({
  label,
  help,
  fault,
  value,
  onChange,
  options,
}: FieldProps & {
  value: Value | undefined;
  onChange: (value: Value) => void;
  options: readonly (readonly [value: Value, words: string])[];
}) {
  return (
    <RadioGroup
      className="field"
      value={value ?? null}
      onChange={(chosen) => onChange(chosen as Value)}
      isInvalid={fault !== undefined}
      validationBehavior="aria"
    >
      <Label>{label}</Label>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      <div className="choices">
        {options.map(([option, words]) => (
          <Radio key={option} value={option} className="choice">
            {words}
          </Radio>
        ))}
      </div>
      <FieldError className="field-fault">{fault}</FieldError>
    </RadioGroup>
  );
}

/** Any number of a list. */
export function Several({
  label,
  help,
  fault,
  value,
  onChange,
  options,
}: FieldProps & {
  value: readonly string[];
  onChange: (value: string[]) => void;
  options: readonly (readonly [value: string, words: string])[];
}) {
  return (
    <CheckboxGroup
      className="field"
      value={[...value]}
      onChange={onChange}
      isInvalid={fault !== undefined}
      validationBehavior="aria"
    >
      <Label>{label}</Label>
      {help && (
        <Text slot="description" className="field-help">
          {help}
        </Text>
      )}
      <div className="choices">
        {options.map(([option, words]) => (
          <Checkbox key={option} value={option} className="choice choice-tick">
            {words}
          </Checkbox>
        ))}
      </div>
      <FieldError className="field-fault">{fault}</FieldError>
    </CheckboxGroup>
  );
}

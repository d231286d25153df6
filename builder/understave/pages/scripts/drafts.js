/* A chord while its symbol is being read: the rules of the actions, carried out; and the rows that sort degrees. */

import { reading } from "./tables.js";
import { inOrder, numberOf } from "./tones.js";

const { actions, qualities, degrees: known, inTwoSizes, givesWay } = reading;

/** A token may not do here what it does elsewhere; `expected` is the id of what was wanted. */
export class Refused {
  constructor(expected) {
    this.expected = expected;
  }
}

const rules = Object.fromEntries(
  Object.entries(actions).map(([name, rows]) => [
    name,
    rows.map(([when, todo]) => ({
      conditions: when.split(" ").filter(Boolean).map(conditionOf),
      steps: todo.split(";").map((text) => text.trim().split(" ")),
    })),
  ]),
);

function conditionOf(text) {
  const [name, values] = text.split("=");
  return { name: name.replaceAll("!", ""), values: values?.split(","), wanted: !name.includes("!") };
}

export class Draft {
  constructor() {
    this.registers = {};
    this.implied = new Set();
    this.written = new Set();
    this.leftOut = new Set();
    this.become("major");
  }

  get remark() {
    return this.registers.remark ?? "";
  }

  /** Carry out an action with a token's value. */
  act(action, value) {
    for (const { conditions, steps } of rules[action]) {
      if (!conditions.every((condition) => this.holds(condition, value))) continue;
      for (const [step, ...words] of steps) {
        if (step === "do") this.act(words[0], value);
        else this[step](...words.map((word) => this.filled(word, value)));
      }
    }
  }

  /** Return the degrees of what has been read, from the root upwards. */
  degrees() {
    const whole = new Draft();
    whole.registers = this.registers;
    whole.implied = new Set(this.implied);
    whole.written = new Set(this.written);
    whole.act("gather", "");
    const numbers = new Set([...whole.written].map(numberOf));
    const found = [...whole.written, ...[...whole.implied].filter((degree) => !numbers.has(numberOf(degree)))];
    const left = found.filter((degree) => !this.leftOut.has(numberOf(degree)));
    if (left.some((degree) => numberOf(degree) === "3")) return inOrder(left);
    const gone = givesWay.filter(([stays]) => left.includes(stays)).map(([, one]) => one);
    return inOrder(left.filter((degree) => !gone.includes(degree)));
  }

  holds({ name, values, wanted }, value) {
    const held = this.filled(`$${name}`, value);
    return (values ? values.includes(held) : held !== "") === wanted;
  }

  filled(word, value) {
    if (word === "$value") return value;
    if (word === "$present") return this.degrees().some((degree) => numberOf(degree) === value) ? value : "";
    if (word === "$written") return [...this.written].join(" ");
    return word.startsWith("$") ? (this.registers[word.slice(1)] ?? "") : word;
  }

  become(quality) {
    const [third, fifth, seventh, sounds] = qualities[quality];
    Object.assign(this.registers, { quality, third, fifth, seventh, sounds: sounds ? "yes" : "" });
  }

  put(register, text = "") {
    this.registers[register] = text;
  }

  push(register) {
    this.registers[register] = `${this.registers[register] ?? ""}|`;
  }

  pop(register) {
    this.registers[register] = this.registers[register].slice(1);
  }

  write(degree) {
    if (!known.includes(degree)) throw new Refused("degree");
    const number = numberOf(degree);
    const others = [...this.written].filter((other) => numberOf(other) === number && other !== degree);
    const altered = ![degree, ...others].includes(number);
    if (this.leftOut.has(number) || (others.length && !(altered && inTwoSizes.includes(number)))) {
      throw new Refused("clash");
    }
    this.written.add(degree);
  }

  alter(number) {
    this.write((this.registers.held ?? "") + number);
  }

  erase(number) {
    this.written = new Set([...this.written].filter((degree) => numberOf(degree) !== number));
  }

  refuse(reason) {
    throw new Refused(reason);
  }

  imply(degree) {
    this.implied.add(degree);
  }

  unimply(degree) {
    this.implied.delete(degree);
  }

  note(degree) {
    this.written.add(degree);
  }

  omit(number) {
    this.leftOut.add(number);
  }
}

/** Return what the rows of some stages give for degrees, and what is in the bag in the end. */
export function sortedOut(degrees, stages) {
  const bag = new Set(degrees);
  const given = [];
  for (const stage of stages) {
    const row = stage.find(
      ([has, lacks]) => has.every((one) => bag.has(one)) && !lacks.some((one) => bag.has(one)),
    );
    if (!row) continue;
    const [, , takes, gives, marks] = row;
    for (const one of takes) bag.delete(one);
    for (const one of marks) bag.add(one);
    given.push(...gives);
  }
  return { given, bag };
}

// Reads a scenario file, runs it and gives the capture as CSV text with what was done.

import { writeCaptureCsv } from '../capture/index.js';
import { runScenario, scenarioSchema } from '../circuit/index.js';
import { checkShape, YamlFile } from '../profile/index.js';

export interface ScenarioSummary {
  title: string;
  samples: number;
  durationS: number;
  sampleRateHz: number;
  columns: string[];
}

/** @throws InputError for a faulty file, CircuitError for a circuit that makes no sense. */
export function simulateScenario(path: string): { text: string; summary: ScenarioSummary } {
  const scenario = checkShape(scenarioSchema, YamlFile.read(path));
  const text = writeCaptureCsv(runScenario(scenario));
  const { title, durationS, sampleRateHz } = scenario;
  const columns = text.slice(0, text.indexOf('\r\n')).split(',');
  const samples = text.split('\r\n').length - 2;
  return { text, summary: { title, samples, durationS, sampleRateHz, columns } };
}

/**
 * The words that head a column, in their plain form (see `plainHeading`): the trade's own symbols (Pappenheimer JR et al. Fed
 * Proc 1950;9:602: F for a fraction, P for a pressure, E expired, T tidal, a dot for a rate) and plain words of several
 * languages. No analyser's layout is known here.
 */
import type { ColumnQuantity } from './quantities.ts';

const list = (text: string): readonly string[] => text.trim().split(/\s+/);

/** Headings by quantity. */
const WORDS: Readonly<Record<Exclude<ColumnQuantity, 'ignore'>, readonly string[]>> = {
  time: list(`
    t time times elapsed elapsedtime testtime exercisetime timeofday clock clocktime daytime realtime walltime timestamp
    datetime duration zeit uhrzeit testzeit dauer temps heure duree tiempo hora tempo ora tid tijd aika czas tempos sec secs
    seconds min mins minutes phasetime stagetime laptime hh:mm:ss h:mm:ss mm:ss m:ss
  `),
  vo2: list(`
    vo2 o2uptake oxygenuptake oxygenconsumption uptake vo2abs absvo2 absolutevo2 vo2absolute sauerstoffaufnahme o2aufnahme
    consommationdo2 consommationo2 consumodeo2 consumoo2 consumodeoxigeno vo2measured vo2total vo2/kg vo2kg vo2perkg vo2rel
    relvo2 relativevo2 vo2relative vo2/bw vo2/mass vo2/weight consommationdoxygene debitdo2 captationdo2 zuurstofopname
    o2opname syreupptag syreupptagning iltoptagelse oksygenopptak consumodioxigeno consumodiossigeno absorcaodeo2 captacaodeo2
    consumodeo2 poboro2 poborotlenu hapenkulutus hapenotto volumeo2
  `),
  vco2: list(`
    vco2 co2output carbondioxideoutput co2production carbondioxideproduction output vco2abs co2abgabe kohlendioxidabgabe
    productiondeco2 producciondeco2 vco2/kg vco2kg debitdeco2 rejetdeco2 eliminationdeco2 producaodeco2 produzionedico2
    koolzuurafgifte co2afgifte koldioxidproduktion koldioxidavgivning wydalanieco2 producciondedioxidodecarbono volumeco2
  `),
  ve: list(`
    ve vedot vent ventilation minuteventilation expiredventilation minutevolume mv amv atemminutenvolumen ventilacion
    ventilazione ventilacao ventilatie ventilasjon wentylacja debitventilatoire ventilationminute ventilacionminuto
    ademminuutvolume minutventilation
  `),
  rer: list(`
    rer r rq respiratoryexchangeratio exchangeratio respiratoryquotient vco2/vo2 quotientrespiratoire
    respiratorischerquotient quozienterespiratorio cocienterespiratorio quocienterespiratorio quotientdechangesrespiratoires
  `),
  'heart-rate': list(`
    hr heartrate heartfrequency pulse pulserate bpm hf herzfrequenz fc frequencecardiaque frecuenciacardiaca
    frequenzacardiaca fh hartslag puls hjertefrekvens hjartfrekvens hartfrequentie frequenciacardiaca tetno syke
    battitocardiaco ritmocardiaco herzschlag pols
  `),
  'breathing-rate': list(`
    rf fr rr bf fb f breathingrate breathingfrequency respiratoryrate respiratoryfrequency resprate breaths af atemfrequenz
    frequencerespiratoire frecuenciarespiratoria breathrate ftot frequenzarespiratoria frequenciarespiratoria ademfrequentie andningsfrekvens
  `),
  'tidal-volume': list('vt tv tidalvolume vtex vte atemzugvolumen volumecourant volumencorriente'),
  feo2: list(`
    feo2 fo2e feo2% expiredo2 expo2 o2exp o2expired mixedexpiredo2 femo2 feo2mean fraco2exp o2% %o2
  `),
  feco2: list('feco2 fco2e feco2% expiredco2 expco2 co2exp co2expired mixedexpiredco2 femco2 co2% %co2'),
  peto2: list('peto2 eto2 endtidalo2 po2et endtidalpo2'),
  petco2: list('petco2 etco2 endtidalco2 pco2et endtidalpco2'),
  load: list(`
    load power poweroutput workload workrate work wr p watt watts w leistung belastung last puissance charge potencia carga
    potenza carico vermogen resistance ergometer belasting effekt moc obciazenie arbeitslast charges
  `),
  speed: list(`
    speed velocity treadmillspeed beltspeed geschwindigkeit vitesse velocidad velocita snelheid v kmh km/h mph
  `),
  grade: list(`
    grade gradient slope incline inclination elevation elev treadmillgrade steigung pente pendiente inclinacion pendenza
    helling
  `),
  marker: list(`
    marker markers mark marks event events comment comments note notes phase stage remark remarks annotation ereignis
    bemerkung kommentar etape evento fase marca marqueur step stufe
  `),
};

/** Columns that are not imported, with the reason that is shown. */
const IGNORED: readonly { readonly words: readonly string[]; readonly because: string }[] = [
  {
    words: list('ve/vo2 ve/vco2 eqo2 eqco2 vevo2 vevco2 vo2/ve vco2/ve veqo2 veqco2'),
    because: 'ventilatory equivalents are worked out here from VE, VO₂ and VCO₂',
  },
  { words: list('vo2/hr o2pulse o2puls vo2hr o2/hr vo2/hf'), because: 'oxygen pulse is worked out here from VO₂ and heart rate' },
  { words: list('mets met'), because: 'METs are worked out here from VO₂' },
  {
    words: list(`
    vo2/kg/min/w vo2/w kcal kcal/min kcal/h ee energy energyexpenditure fat cho fats carbs kj/min
  `),
    because: 'energy is worked out here from VO₂ and VCO₂',
  },
  { words: list('fio2 fico2 fo2i fco2i pio2'), because: 'inspired fractions are not used' },
  { words: list('feto2 fetco2 fo2et fco2et'), because: 'end-tidal fractions are not used' },
  {
    words: list(`
    bf% spo2 sao2 sbp dbp bp rpe lactate cadence rpm vd/vt vdvt ti te ttot ti/ttot vt/ti br hrr vo2max% %vo2max %hrmax vi
  `),
    because: 'not a quantity that is imported',
  },
  {
    words: list(`
    breath breathno breathnr breathnumber no nr n # index row sample samples id date datum fecha
  `),
    because: 'a running number, a code or a date',
  },
];

const byWord: ReadonlyMap<string, ColumnQuantity> = new Map(
  Object.entries(WORDS).flatMap(([quantity, words]) => words.map((word) => [word, quantity as ColumnQuantity] as const)),
);
const ignoredByWord: ReadonlyMap<string, string> = new Map(
  IGNORED.flatMap(({ words, because }) => words.map((word) => [word, because] as const)),
);

/** What a heading in its plain form stands for; undefined for a word that is not known. */
export function quantityOfWord(word: string): { readonly quantity: ColumnQuantity; readonly because?: string } | undefined {
  const quantity = byWord.get(word);
  if (quantity !== undefined) return { quantity };
  const because = ignoredByWord.get(word);
  return because === undefined ? undefined : { quantity: 'ignore', because };
}

/** True for the headings of an uptake per kilogram. */
export function isPerKilogram(word: string): boolean {
  return /kg|rel|bw|\/mass|\/weight/.test(word) && word.includes('o2');
}

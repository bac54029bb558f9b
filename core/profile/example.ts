/** A profile to begin with. The guide `lab-sheets/station-profile.md` shows the same text; a test holds the two together. */
export const exampleProfile = `schema: stagecall-station-profile/1
station: Physiology lab 2, bench 4

units: # each may be left out: the lab sheet's own unit is then used
  speed: mph # or km/h
  mass: kg # or lb
  height: cm # or in
  load: W # or kg·m/min
  oxygen-uptake: L/min # or mL/kg/min

machines: # named as the pair writes them in the line "Ergometer"
  - name: Treadmill 2
    mode: treadmill
    speed: { unit: mph, step: 0.1, from: 0.5, to: 12 }
    grade: { unit: "%", step: 0.5, from: 0, to: 15 }
  - name: Cycle 1
    mode: cycle
    load: { unit: W, values: [25, 50, 75, 100, 125, 150, 175, 200, 225, 250] }

limits: # this laboratory's own; they take the place of the published ones
  systolic: 230
  diastolic: 110
  source: Harrowgate Fell University, exercise laboratory rules 2026, section 4

emergency: |
  Call 2222 from the wall telephone: "exercise laboratory, Fell Building, room 1.14".
  The defibrillator hangs beside the door of room 1.12.
  One person goes to the main entrance to show the way.

courses:
  - name: SPX 214 Exercise physiology
    groups: [Monday A, Monday B, Thursday]
    term: Spring 2026
`;

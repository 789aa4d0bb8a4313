"""The cautions, each written once: sheets, notebooks and reports take them from here."""

from __future__ import annotations

AIR_TURNS_THE_CRANK = (
    "Air in a cylinder turns the crank, and everything coupled to it, with force: hold the crank before "
    "opening the air, and keep everybody clear of fan, belts and blades."
)
MANUAL_GOVERNS = (
    "The kit maker's manual governs. Where it differs from this sheet, follow the manual; where it is unclear, ask its "
    "maker."
)
SHORT = (
    "Engine off and made safe before anybody reaches in. The kit maker's manual governs; these figures are an aid to "
    "checking, not an approval."
)
SIGNATURE = "A signature here releases nothing: it says who looked at this check, and when."
NO_APPROVAL = "These figures are an aid to checking, not an approval."
AN_AID = (
    f"{NO_APPROVAL} The local aviation authority's rules apply, and the work is released by those who are licensed to "
    "do so."
)
ENGINE_OFF = (
    "Engine off, ignition off and its leads made safe, battery disconnected, rotor brake or tie-down set, before "
    "anybody reaches into the rotors or the drive."
)
TURNING_ROTORS = (
    "Turn the rotors by hand only, slowly, and only in their own direction (turned backward they drive the engine, or "
    "force parts made to run one way), with everybody in sight and clear of the blades and the tail rotor."
)
ON_JACKS = (
    "An aircraft on jacks or scales falls over easily: have tail and mast held by somebody who does nothing else, "
    "nobody beneath or inside, and no stand that can roll or tip."
)
HANDS_IN_LINKAGE = (
    "Nobody moves a control or lets go of one while anybody's hand is in the linkage or at a horn, pulley or "
    "swashplate: they shear fingers. The person at the rotor calls each movement; the helper at the control "
    'repeats it, waits for "clear", and only then moves.'
)
BELTS_AND_FINGERS = (
    "A belt and its pulley draw in fingers, sleeves and hair, even when a rotor is turned by hand: nobody turns "
    "anything while a hand is near a belt, and the ignition is off with its leads made safe."
)
SHAFT_WHIRL = (
    "A drive shaft that whirls breaks its hangers within seconds, and takes the tail rotor or the airframe with it. A "
    "hanger that was moved, a tube of another size or a coupling left loose changes its critical speed: the manual's "
    "positions and parts govern, and no figure here releases a shaft that shakes."
)
LIVE_IGNITION = (
    "A magneto whose earth lead is broken is live with the switch off, and an engine turned by hand may fire: plugs "
    "out, fuel off, leads made safe, throttle closed, and nobody within reach of fan, belts or blades."
)
LOCKING = (
    "Lock every nut, turnbuckle and rod end you touched as the manual says, and have a second person look at it, "
    "before the controls are used."
)
CABLES_UNDER_LOAD = (
    "A cable under tension stores energy: keep face and fingers clear, support the controls, and never slacken one run "
    "of a loop without knowing what the other will do."
)
THREAD_ENGAGEMENT = (
    "A rod end screwed out too far holds by a few threads, and nothing of it shows from outside: measure the "
    "engagement and try the witness hole at both ends after every change of length, before you lock the jam nuts."
)
THREADS_OF_TURNBUCKLES = (
    "A turnbuckle with too many threads outside its barrel can pull out; one that is drawn right up to its middle "
    "has nothing left to take up: "
    "count the threads at both ends after every adjustment, and lock it before the controls are used."
)
CYCLIC_AT_THE_EDGE = (
    "Outside the envelope there may be no cyclic left to stop the nose, or to flare, and that shows only in the air. "
    "Make the first lift into a hover slowly, and set down again if the stick is near its stop."
)
CYCLIC_REVERSED = (
    "A cyclic that works the wrong way, or a quarter of a turn off, kills at the first lift-off. See with your own "
    "eyes, at the rotor, which way the blades go for each movement of the stick, and have a second person see it too."
)
INSPECTION = (
    "Have flight controls inspected by a second, qualified person after any adjustment (a duplicate inspection)."
)
ESTIMATE = (
    "This is an estimate for planning tests. It is never a reason to go beyond the manual's limits: the first hover "
    "and each step after it belong to the flight-test programme and to a qualified pilot."
)
VORTEX_RING = (
    "Vortex-ring state: a steep descent with power, at less airspeed than the rotor needs to leave its own wake behind "
    "(some 15 to 25 kt, common practice) and faster down than about a quarter of the hovering induced velocity (some "
    "300 to 400 ft/min in a light helicopter), can drop the aircraft faster than power can stop. No figure here holds "
    "there. Keep airspeed in every steep descent."
)
GROUND_EFFECT = (
    "Ground effect helps only while the ground is there: you lose it at a slope or an edge, over tall grass or water, "
    "in wind. Never take off on it without knowing how to land again without it."
)
GROUND_RESONANCE = (
    "Ground resonance destroys a helicopter within seconds. No figure here clears one for running: the kit maker's "
    "manual does, with its dampers, tyres, oleos and tie-downs as it says. If the aircraft begins to rock with the "
    "rotor, the pilot does at once what the manual says (lift off if there is rotor speed and nothing holds it down, "
    "otherwise shut down: common practice); nobody stays near."
)
HEIGHT_VELOCITY = (
    "In a hover above a few feet a loss of power leaves neither the speed nor the height to land: the manual's "
    "height-velocity diagram governs, and most of all a high hover at full throttle, where the rotor slows at once. "
    "Measured hovers are flown by a qualified pilot, no higher or longer than the test needs."
)
BLADE_STALL = (
    "Near blade stall, or near the speed of sound at the tips, power rises steeply and these estimates are too low: "
    "the manual's never-exceed speed and rotor limits govern."
)
PEDAL = (
    "A pedal margin in still air says nothing about a crosswind, a tail wind, or the main rotor's wake on the tail "
    "rotor: loss of tail-rotor effectiveness comes without warning. Hover tests with low margins are for a qualified "
    "pilot."
)
AUTOROTATION = (
    "Autorotations are practised with an instructor in a machine that is signed off for them; the manual's "
    "height-velocity diagram governs. These figures describe the rotor and the glide; they teach nobody to fly it."
)
BALANCE_WEIGHTS = (
    "A weight that comes off a turning rotor is a bullet: weights go only where the manual has stations for them, "
    "up to its greatest mass and no more, fastened and locked as it says, and looked at by a second person before "
    "every run."
)
TURNING_AT_SPEED = (
    "This is read while the rotors turn: on the ground tied down as the manual says, every loose thing picked up, ear "
    "and eye protection on, and nobody near a turning rotor or in its plane. On the ground and in the air a pilot "
    "who is allowed to run or fly it is at the controls. Read instruments from the cockpit, or from where the manual "
    "allows. Sensors and their wires are fastened so that they reach no rotor, belt or control. Engine off and "
    "rotors stopped before anybody steps up to a blade."
)
FUEL_IN_THE_OPEN = (
    "Fuel running into a can burns as readily as any: work outdoors, battery off, no flame, no tool that sparks, "
    "nobody smoking; bond can, funnel and airframe to earth with a wire; have somebody with an extinguisher who does "
    "nothing else. Wipe up spills and let them dry before anything is switched on."
)
GROUND_RUN = (
    "An engine run turns fan and belts, and the rotors with them if there is no clutch or it drags: tie down as "
    "the manual says, on clean ground, into wind, with a pilot who is allowed to run it at the controls, an "
    "extinguisher manned, and nobody and nothing loose within the disks or in line with them. Take readings from "
    "inside or from where the manual allows; nobody reaches past a turning part. Too long a run without flight "
    "cooks the rear cylinders."
)
NOT_LEANED_IN_FLIGHT = (
    "Do not lean a helicopter in flight. There is no windmilling propeller to keep the engine turning: a one-way "
    "clutch lets the rotor go at once, so an engine leaned too far, or cut by a slip of the hand, has stopped for good "
    "while the rotor slows. What a mixture test finds is for setting the jets, on the ground. Full rich in flight, "
    "unless the manual itself says otherwise."
)
CARBON_MONOXIDE = (
    "Carbon monoxide has no smell, and it takes your judgement first. Headache, dullness, cherry-red lips: heat "
    "off, windows "
    "open, land. A cabin heater that is a jacket around the exhaust leaks poison through any crack: have the exhaust "
    "pressure-tested as the manual says; a detector on the panel does not prove that there is none where you breathe."
)
AFTER_ADJUSTING = (MANUAL_GOVERNS, LOCKING, INSPECTION, AN_AID)
"""How the cautions of a sheet end at which something may be adjusted."""
ALWAYS = (MANUAL_GOVERNS, AN_AID)
"""How the cautions of most other sheets end."""

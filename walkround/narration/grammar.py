"""The closed classes of English that the reading leans on: small words, not trade words.

The first part of a name says which stage uses the set.
"""


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


AHEAD_MAYBE = _words("could might may must maybe perhaps probably possibly likely")
ABSENCE_GAP = _words("left right a an any the of got have one single its service proper full your it have")
ABSENCE_FILLERS = _words("well er erm um uh and but so then that which unfortunately sadly now no sorry it is 's one")
ABSENCE_OUGHT = _words("should ought meant supposed used was would went")
AHEAD_PEOPLE = _words("you i he she we")
ATTACH_DENYING = _words("no not never without isn't hasn't hadn't doesn't don't nae nary")
ATTACH_PRONOUNS = _words("it that they those these this them which he she both all none neither")
ATTACH_GLUE = _words(
    """
    and or the your both a an as well plus left right hand of with then also all front rear its my
    """
)
ATTACH_REACHING = _words("the with at from about of")  # behind such an end of praise comes its part
ATTACH_COUNTED = _words("a an some few couple slight little small one two three odd bad big faint light")
ATTACH_ENDING = _words("off through round into out from of on over")
ATTACH_TO = _words("in on to of round")
ATTACH_SIDE_ENDS = _words("there 's is has it they a an the i we you though however nothing")
ATTACH_SKIP = _words(
    """
    the a an your my this that these those our his its left right hand front rear back other very same both each
    either lower upper bottom top
    """
)
BEARING_MARKS = _words("mark marks blemish blemishes marking damage")
BEARING_BESIDE = _words("under underneath beneath below by near beside behind front next round around past above")
BEARING_AND = _words("and but so well only though")
BEARING_GOES_ON = _words("and but by near at under just where too as there though")
BEARING_HAS = _words("'s is has was have got look feel")
BEARING_LOWER = _words("lower slider bottom")
CLAUSES_ATTRIBUTIVE = _words("a an the no any some of one")
CLAUSES_BEFORE_ONE = _words(
    """
    left right hand front rear back other the upper lower top bottom inner outer big bigger small long
    short main first second last passenger pillion rider driver 's
    """
)
CLAUSES_DETERMINERS = _words("the a an your this that these those my our its")
CLAUSES_SUBJECT_WORDS = CLAUSES_DETERMINERS | _words(
    """
    left right hand side front rear back both all and so now then also
    """
)
CLAUSES_HOLDING = _words(
    """
    on in of to at from under underneath behind above below by near round over with for off across along
    inside and or nor like than into against between up down new another other no any not without only just
    one two some got have has had get getting put fit fitted want see call called
    """
)
COMPARING_AT = _words("on against over into")
COMPARING_CAUSES = _words("a an some somebody someone 's his her their my the old")
COMPARING_DEEDS = _words("dropped leant leaned rested slung chucked caught knocked swung dragged laid propped rubbed")
COMPARING_MEASURED = _words("size length width breadth shape thickness diameter depth height area")
COMPARING_SEEM = _words("look feel sound seem run ride act smell")
COMPARING_WITH = _words("similar identical compared equal")
ECHOES_AFTER_ALL = _words(
    "oh ah no wait hang on sorry hold there 's is well actually just tell a lie i no yes except one"
)
ECHOES_AMOUNTS = _words("some bit little few couple lot two three one touch fair wee slight")
ECHOES_LEAD = _words(
    "and then plus also there 's is are but oh um erm a an some bit little few couple one two lot touch fair wee"
)
ECHOES_OF_IT = _words("one just there here more back down up over")
ECHOES_ONES = _words("one left right other front rear back side")
ECHOES_SOME = _words("some one two three bit few couple plenty little touch spot several load loads lot tad another")
EXTRAS_WANTED = _words("need want require")
EXTRAS_REFUSED = _words("not never won't isn't aren't wouldn't no haven't hasn't didn't don't doesn't")
EXTRAS_RIDERS = _words("anybody anyone somebody i we you it's ridden")
EXTRAS_ABOUT = _words("on without about of")
EXTRAS_ORDER = _words("first last once video how half bad good stuff paperwork next again top bottom")
EXTRAS_WHO = _words("he he's she she's i i've we that that's they the's it")
EXTRAS_NOT_IT = frozenset(("doesn't", "don't", "does not", "do not", "isn't", "aren't", "is not", "are not", "'s not"))
EXTRAS_ADVERBS = _words("just probably also then now certainly definitely of course maybe likely both all only")
EXTRAS_OBJECTS = _words("it that those them these one both another this")
EXCEPTED_LEAD = _words("which is that 's being for one")
FACTS_PLATE = _words("plate reg registered suffix prefix registration")
FORMS_PLACED = _words(
    """
    front rear back hind left right upper lower top bottom inner outer side end edge corner part bit half middle centre
    center area lip tip face base paint chrome of on in for the surface colour action on round under main big small
    little original standard your set pair
    """
)
FORMS_SERVING = _words(
    "support bracket mount mounting frame rail carrier lever pedal button switch hose cable stand holder"
)
FOCUS_DETERMINERS = _words("the a an your my this that its our his her old other")
FOCUS_ONE = _words("one bit half part portion section")  # "the front half": the front one of two
FOCUS_PLACED = _words("upper lower top bottom inner outer inside outside main big bigger small smaller long short")
FOCUS_SEATED = {"rider": "rider", "driver": "rider", "passenger": "pillion", "pillion": "pillion"}
RESERVE_HEADS = _words("it they one these those she you you'd you'll not never hardly barely")
RESERVE_HANDLING = _words(
    """
    give hold grab rock tap press push pull lift squeeze wiggle waggle shake listen watch feel try wipe spin turn rub
    twist open run bounce lean sit drop flick poke prod scratch stroke catch wobble rattle slide bend hear
    """
)
RESERVE_POINTING = _words("here there bit if when where at on in through like")
RESERVE_BACK = _words("it there them")
RESERVE_PLACING = _words("in on under behind round inside off over through into of")
RESERVE_OPENERS = _words("i we you take pull lift open undo pop unscrew peel half")
RESERVE_DOINGS = _words("cut cutting eaten eating chewed dug digging sawn rubbing melted burnt dropped leaked spat")
RESERVE_UNDER = _words("it that them underneath under inside behind round")
RESERVE_SOMEBODY = _words("somebody someone he my some")
RESERVE_DETERMINERS = _words("the a an its inner outer upper lower top bottom main")
RESERVE_THERE = _words("a an some something one two")
RESERVE_LEADING = _words("and but so well only though now mind the this that other does do did a its")
RESERVE_NEGATIONS = _words("doesn't don't won't isn't aren't didn't wouldn't hasn't haven't not never")
ROWS_FURTHER = _words("and but plus also")
ROWS_WHEN = _words("when if as once whenever while you")
ROWS_FOLLOWING = _words("so because where which you that since until when if meaning hence")
FOCUS_BEHIND = _words("they stays stay is are 's only about three two one four five six seven eight half")
FOCUS_TAKEN = _words(
    "pull pulled pulling took take taking taken had have 'd lift lifted lifting pop popped whip whipped open opened"
    " opening unscrew unscrewed undid undo removed remove slid unclipped dropped"
)
FOCUS_PURPOSE = _words("do does work works operate operates worked")
FOCUS_SELECTED = _words(
    """
    's is has have got get nearer about was had hasn't isn't doesn't look need want and , 'd will on are
    """
)
CONCORD_SECOND = _words("no nothing none never nowhere nobody neither nary")
CONCORD_BETWEEN = _words("got have had make made see find show get give do want need been any ever there on it and")
ELABORATION_JOINING = _words("and plus also then but another other second more too where besides well")
ELABORATION_SAME = _words("it that which they someone somebody he she i you")
ELABORATION_LISTED = _words(
    """
    a an some two three few couple of little small tiny slight light odd bit the big deep long
    """
)
FOLDING_KEEP_S = _words(
    """
    gas abs was has his this yes is as us its bus plus minus lens chassis always perhaps towards across
    unless besides does goes less pass canvas chaos gus brass glass usb dies lies ours yours hers theirs
    tidies sas series
    """
)
IDLE_PEOPLE = _words("i we everybody everyone folk")
IDLE_PUT_ON = _words("a an some two new its his her different")
IDLE_WORN_AT = _words("in on into through off at bit little")
IDLE_PRETENDING = _words("pretend tell say lie deny hide act claim kid make")
IDLE_WERE = _words("'m 're am are was were be been stood sat")
IDLE_WILLS = _words("'ll will can could 'd would must should may might shall")
IDLE_DEEDS = _words(
    """
    tick rip split knock bend twist crack click scratch mark tear rock shake rattle lift push pull drop tap wiggle
    waggle kick rub squeeze snap strip nick flick tweak scrape chip break catch drag wobble slap stick plug burst
    """
)
IDLE_DONE_TO = _words("the it your that this them him her my down over into off through")
IDLE_GENERAL = _words("all do always usually generally often tend to will can normally sometimes just either both")
IDLE_PEELERS = _words("i we he she they you somebody someone dad mum owner lad bloke guy")
IDLE_LATER = _words(
    """
    in next at till until by spring summer autumn winter january february march april may june july august september
    october november december month week year tomorrow
    """
)
IDLE_MOVED = _words("lifted disconnected unplugged unhooked unbolted unclipped folded")
IDLE_OVER = _words("was were ago last already since overdue past been should missed had late ran")
LEFTOVERS_PEOPLE = _words("i we you he she they 'm 're i'm we're you're he's she's who nobody somebody")
LEFTOVERS_AUXILIARIES = _words("'s has have is are been got get was were be")
MANNER_PASSED = _words("very really so and up down over round back in out together apart absolutely both all")
MARKS_VERBS = _words("might may could is was has had would will should must can does are were have")
MARKS_LEADING = _words("the a an my your its this that of left right hand front rear no any single some little small")
NAMES_THAT = _words("that those them these they this")
NAMES_FIRST = _words("one ones inner outer first top bottom upper lower two pair both")
NOTHING_WORDS = _words("nothing nowt naething nuthin nuffin")
NOTHING_NOUNS = _words("thing speck jot blemish spot trace hint sign drop")
NOTHING_BETWEEN = _words(
    """
    at all to see report show whatsoever here there showing coming leaking weeping dripping running seeping getting
    either wrong going down of it oil damp wet
    """
)
NOTHING_PLACES = _words("on from off past out round around")
NOTHING_AFTER = _words("either neither at all here there whatsoever anywhere now really this and or nor so though")
POLARITY_ARTICLES = _words(
    """
    a an some one two three few couple little small tiny slight light odd bit the this that
    """
)
POLARITY_OTHERS_DO = _words(
    """
    put fitted fitting done doing going replaced replacing changed changing fixed fixing sorted sorting mended mending
    made bought ordered tightened straightened welded swapped repaired rebuilt painted resprayed cleaned
    polished adjusted
    """
)
POLARITY_LIST_WORDS = _words("or nor and any no either other")
POLARITY_FILLERS = _words("like er um uh erm")
POLARITY_HAVING = _words("got have 've find found get")
POLARITY_NOT = _words("not isn't aren't ain't wasn't")
POLARITY_NOS = _words("no without never not nor zero")
POLARITY_AFTER_VERDICT = _words(
    """
    and or both all too as on in there then for really still but apart except no with at again now i it they
    that you not considering up down throughout underneath so because left right one each either from to
    here too though well obviously look mate by of if when after lock round nothing this these never been
    also equally likewise honestly mate right just without mind considering despite bar unlike inside above below
    under even apart
    """
)
POLARITY_COPULAS = _words(
    """
    's is are was were look feel be been seem stay sit 're 'm run it's sound looking still all both keep
    """
)
OWNER_PREPOSITIONS = _words("on of off in from over above under round around at inside for to out into")
POLARITY_DEGREE = _words("a bit little touch tad very quite pretty rather getting really fairly too so more to")
POLARITY_FINAL_COPULAS = _words("'s 're is are be been look feel seem gone going go went turned get has have had 've")
POLARITY_INTENSIFIERS = _words(
    """
    very really nice so pretty quite all absolutely perfectly still in just dead good fairly reasonably
    lovely completely totally as nicely also both now already always often sometimes even
    """
)
POLARITY_INTERJECTIONS = frozenset(
    ("ok", "all right", "alright", "right", "righto", "well", "ok then", "all right then")
)
POLARITY_PAST_TIMES = _words("morning yesterday earlier before until till last once week afternoon")
POLARITY_GENERAL_VERBS = _words(
    """
    rust crack break leak snap fade peel chip scratch rattle knock weep wear perish bend tear rip corrode
    split dent go rot pit blister squeak squeal tick clunk drip sweat seize stick swell bubble yellow lift curl flake
    sag fail blow whine
    """
)
POLARITY_STATE_COPULAS = _words(
    """
    isn't aren't wasn't weren't ain't not never hasn't was were sit sitting stand standing looked felt seemed stay
    stayed 're 'm still
    """
)
POLARITY_AFTER_STATE = _words("a along where round between towards than more right rather")
POLARITY_PATCHES = _words(
    """
    patch spot ring area line mark haze tinge tint pixel segment edge corner stripe stain film section cell bit
    switch button spring bulb connection
    """
)
PRAISE_PASSED = ATTACH_SKIP | _words("under underneath there here down in too")
QUOTING_POINTING = _words("just there here about along at near")
ROWS_BARE_NO = _words("no nope nah")  # answers that need a question
ROWS_GLASS = _words("glass lens casing outside face surround")
ROWS_POINTING = _words("there here look see that this")
ROWS_THERE = _words("'s is has got have")
ROWS_IT = _words("it 's is has and so that they all now there but all")
ROWS_ONE_MORE = _words("again got has had have way")
ROWS_USED_TO = _words("was were been used would always")
ROWS_SOMEBODY = _words("somebody someone bloke owner lad chap fella guy he")
ROWS_AMOUNTS = _words("deep bad big slight bit little wee touch lot nasty proper some few couple")
ROWS_AGAIN = _words("another second more further also other again")
SEQUEL_SO = _words("so meaning hence")
SEQUEL_BEEN = _words("should was were used ought went go bolt sat sit screw clip fit")
SEQUEL_HOLES = _words("hole gap space socket")
SEQUEL_MAY = _words("could may might can")
SEQUEL_DEEP = _words("metal primer alloy aluminium plastic bare undercoat steel brass white through")
SEQUEL_LEFT = _words("hole holes glue tape screw bolt bracket stub stump gap mark bit adhesive sticky residue clip")
SEQUEL_LOW = _words("low high")
SEQUEL_MENDING = _words(
    """
    glue glued gluey tape taped silicone epoxy resin filler superglue weld welded putty solder wire wired tie
    tied zip bungee string sealant goop patch patched
    """
)
SEQUEL_PLACE = _words("should ought used meant supposed")
SEQUEL_STOOD = _words("was were is goes went go sat sits lived lives bolts bolted clips screwed had been")
SIDES_BETWEEN = _words(
    """
    hand side front rear back lower upper main big inner outer bottom top little small plastic metal alloy
    chrome heated rubber black silver aluminium original standard aftermarket factory old new whole
    """
)
SIDES_CORRECTED = _words("the your my on it 's is it's i mean")
SIDES_ENDS = _words("end front rear back")
SIDES_LEADING = _words("and on the so then now but t'other tother round over")
SIDES_POINTING = _words("the your my on to our this")
SIDES_NOT_A_SIDE_NEXT = _words(
    """
    way thing price time place light bike amount size angle size idea answer spot tool
    """
)
SIDES_VERBS = _words(
    """
    's is has have had got get been was looks seems needs wants hasn't isn't doesn't there
    """
)
SOUNDALIKE_EXPECTING = _words("left right hand front rear back")
TAKEBACK_FLUIDS = _words(
    "oil fluid coolant petrol fuel leak leaking leaked weep weeping weeps stain stained antifreeze"
)
TAKEBACK_NO_LESS = _words("one two three big bigger bad worse deep deeper proper weld repair patch filler bodge")
TAKEBACK_NO = _words("no nope oh ah wait sorry hang on ooh")
TAKEBACK_SOME = _words("a an some just only")
TAKEBACK_WORKS = _words("work works lock open shut close charge start fold go click flash usable functional function")
SUPPOSING_BEFORE = _words("there i a do someone anyone you who")
SUPPOSING_AFTER = _words("half on nothing")
SUPPOSING_ALL = _words("everything lot me")
SUPPOSING_IF = _words("if whether")
SUPPOSING_SIZES = _words("inch tenth quarter third half fifth mil millimetre centimetre foot dozen hand")
SUPPOSING_IT = _words("it him her them that")
SUPPOSING_WOULD = _words("'d would there'd it'd")
SUPPOSING_OVER = _words("and so well that 's is it all about everything lot the me done")
TAKEBACK_ANEW = _words("new replaced renewed rebuilt changed swapped")
TAKEBACK_IS = _words("'s is was were are turned")
TAKEBACK_IT = _words("it that they this there")
TAKEBACK_THING = _words("only just a an the some my me his your our how where what nothing simply merely all")
TAKEBACK_TURNING = _words("but and turn turns turned when no it that so only")
TAKEBACK_WORSE = _words(
    "deep big long rough sharp structural permanent worse bad deeper true still serious worst actually right"
)
TAKEBACK_HAS_HAD = frozenset((have, "had") for have in ("'s", "has", "have", "'ve"))
TAKEBACK_DENIALS = _words("not never nothing if")
TAKEBACK_IN_VAIN = (
    "still", "no difference", "in the shed", "we 'll see", "yet", "no better", "did not help", "didn't help",
)  # fmt: skip
TERMS_ONE_HAS = _words("got been a an built gone coming had taken lost")
TERMS_WELL = _words("fine good okay ok all alright clear clean straight perfect lovely sound working intact grand new")
VALIDITY_ONES = _words("one left right half bit end side part three two four others")  # what an answer can be of
WHERE_LAMPS = _words("light lamp bulb led")
WHERE_LAMP_KINDS = _words(
    "little wee small tiny warning green blue red amber orange yellow dash idiot tell-tale telltale"
)
WHERE_MEANS = _words("on with by via using")
WHERE_PEOPLE = _words("i you we he she")
WHERE_WHENS = _words("when if whenever once while as")
WHERE_BEFORE_DEEDS = _words("and but you i so then just")
VALIDITY_GOING = _words("gone went going got turned become")

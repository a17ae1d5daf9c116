"""What a unit on bevelled cleats may carry: screws, statics, sag, geometry and the rating.

Numbers inside are newtons, millimetres and megapascals. People's measures come in as lengths.
Nothing here replaces local code or a licensed professional; where something needed is not known,
there is no number.
"""
